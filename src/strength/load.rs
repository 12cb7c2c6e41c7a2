use crate::capacity::{LoadKind, Which, heaviest_n_per_m3};
use crate::line::{Geometry, Line};
use crate::numeric::series;
use crate::pipe::WaterLevel;

/// Pressures of one state on the stations of the line's grid, Pa gauge, on the mean line.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// Which state.
    pub which: Which,
    /// Largest pressure at each station while it lasts, Pa.
    pub largest_pa: Vec<f64>,
    /// Least pressure at each station, Pa; below zero is suction.
    pub least_pa: Vec<f64>,
    /// Doubt of the least pressure, m of water (one standard deviation), where it is not that of the head: water that hangs in a leg is as sure as the height of that leg. Empty: the head's.
    pub least_sd_m: Vec<f64>,
    /// The water parts somewhere in it. What strikes when it joins again is in no figure here: the largest pressure may be higher.
    pub parts: bool,
}

impl Load {
    /// A state whose pressure does not change.
    pub fn steady(which: Which, pressure_pa: Vec<f64>) -> Self {
        Self {
            which,
            least_pa: pressure_pa.clone(),
            least_sd_m: Vec::new(),
            largest_pa: pressure_pa,
            parts: false,
        }
    }

    /// Its kind.
    pub fn kind(&self) -> LoadKind {
        self.which.kind()
    }

    /// Water that stands at the flood level of the intake over the whole line: rho g (level - z). The pressure that a pipe is first judged by.
    pub fn standing(line: &Line) -> Self {
        let weight = heaviest_n_per_m3(&line.environment);
        let level = line.intake.water_level_m(WaterLevel::Flood);
        Self::steady(
            Which::Standing,
            line.geometry
                .heights
                .mean_m
                .iter()
                .map(|z| weight * (level - z))
                .collect(),
        )
    }
}

/// Doubt of the head at each station of the grid, m (one standard deviation): of the fall from the pipe's mouth, to which the water level is tied.
pub(super) fn head_sd_m(geometry: &Geometry) -> Vec<f64> {
    let heights = &geometry.heights;
    let count = heights.draws.len();
    if count >= 2 {
        let mut sum = vec![0.0; heights.station_m.len()];
        let mut square = sum.clone();
        for draw in &heights.draws {
            let top = series::first(draw);
            for ((s, q), z) in sum.iter_mut().zip(&mut square).zip(draw) {
                let fall = top - z;
                *s += fall;
                *q += fall * fall;
            }
        }
        let n = count as f64;
        return sum
            .iter()
            .zip(&square)
            .map(|(s, q)| ((q - s * s / n) / (n - 1.0)).max(0.0).sqrt())
            .collect();
    }
    // Without draws: the doubt of the whole drop, growing as levelling does with the root of the distance.
    let length = geometry.length_m();
    heights
        .station_m
        .iter()
        .map(|s| heights.drop_sd_m * (s / length).max(0.0).sqrt())
        .map(|sd| if sd.is_finite() { sd } else { 0.0 })
        .collect()
}
