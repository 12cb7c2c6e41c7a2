use crate::line::Line;
use crate::pipe::{FIFTY_YEARS_H, WaterLevel};
use crate::unit::nature::water;

/// What kind of state a pressure belongs to: it decides the warmth, the allowance and how long a suction lasts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LoadKind {
    /// Water stands: everything shut.
    Standing,
    /// Water runs.
    Running,
    /// The line fills, air leaving.
    Filling,
    /// The line is tested.
    Test,
    /// A surge that is part of ordinary running.
    SurgeRoutine,
    /// A surge by accident.
    SurgeRare,
    /// The line empties, or stands empty under suction.
    Drained,
}

impl LoadKind {
    /// How long its least pressure lasts, h: fifty years standing or running, a day drained, the quickest figure of the tables for a surge.
    pub fn hours(self) -> f64 {
        match self {
            Self::Standing | Self::Running => FIFTY_YEARS_H,
            Self::Drained => 24.0,
            Self::Filling | Self::Test => 2.0,
            Self::SurgeRoutine | Self::SurgeRare => 0.5,
        }
    }

    /// The pipe can stand hot in the sun meanwhile: no cold water runs through it.
    pub fn stands_still(self) -> bool {
        matches!(self, Self::Standing | Self::Drained)
    }

    /// A surge.
    pub fn is_surge(self) -> bool {
        matches!(self, Self::SurgeRoutine | Self::SurgeRare)
    }
}

/// Pressures of one state on the stations of the line's grid, Pa gauge, on the mean line.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// What it is called: a case's name, a movement's name.
    pub name: String,
    /// Its kind.
    pub kind: LoadKind,
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
    pub fn steady(name: impl Into<String>, kind: LoadKind, pressure_pa: Vec<f64>) -> Self {
        Self {
            name: name.into(),
            kind,
            least_pa: pressure_pa.clone(),
            least_sd_m: Vec::new(),
            largest_pa: pressure_pa,
            parts: false,
        }
    }

    /// Water that stands at the flood level of the intake over the whole line: rho g (level - z). The pressure that a pipe is first judged by.
    pub fn standing(line: &Line) -> Self {
        let weight = specific_weight_n_per_m3(line);
        let level = line.water_level_m(WaterLevel::Flood);
        Self::steady(
            "shut",
            LoadKind::Standing,
            line.heights
                .mean_m
                .iter()
                .map(|z| weight * (level - z))
                .collect(),
        )
    }
}

/// Weight of the water, N/m3, at its coldest, when it weighs most, and at the site's gravity.
pub(super) fn specific_weight_n_per_m3(line: &Line) -> f64 {
    water(line.water.coldest_c).density_kg_per_m3 * line.situation.gravity_m_per_s2
}

/// Doubt of the head at each station of the grid, m (one standard deviation): of the fall from the pipe's mouth, to which the water level is tied.
pub(super) fn head_sd_m(line: &Line) -> Vec<f64> {
    let heights = &line.heights;
    let count = heights.draws.len();
    if count >= 2 {
        let mut sum = vec![0.0; heights.station_m.len()];
        let mut square = sum.clone();
        for draw in &heights.draws {
            let top = draw.first().copied().unwrap_or(0.0);
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
    let length = line.length_m();
    heights
        .station_m
        .iter()
        .map(|s| heights.drop_sd_m * (s / length).max(0.0).sqrt())
        .map(|sd| if sd.is_finite() { sd } else { 0.0 })
        .collect()
}
