//! The line as the start sees it: stations with bores, the riser to the nozzles, the vents that let air out.

use super::pipe_profile::PipeProfile;
use super::startup::Ends;
use crate::line::{AirFor, Appurtenance, Environment, Line, Reaches, Watch};
use crate::numeric::series::{first, last};

/// The pipe on its stations, ready to run a start on any heights.
#[derive(Debug, Clone, PartialEq)]
pub struct StartupLine {
    /// Stations, m; one more than the line's grid where the nozzles stand higher than the pipe's end.
    pub station_m: Vec<f64>,
    /// Bore from each station to the next, m.
    pub bore_m: Vec<f64>,
    /// Height of the nozzles above the pipe's end, m, where they stand higher.
    pub riser_m: f64,
    /// Lowest water at the intake above the pipe's centre at its mouth, m.
    pub level_over_mouth_m: f64,
    /// Pressure of the air as a head, m: see [`air_head_m`].
    pub air_head_m: f64,
}

impl StartupLine {
    /// The line's pipe; `None` where it has none.
    pub fn of(line: &Line) -> Option<Self> {
        let mut station_m = line.geometry.heights.station_m.clone();
        let mut bore_m: Vec<f64> = station_m
            .iter()
            .zip(station_m.iter().skip(1))
            .map(|(&a, &b)| line.reaches.bore_m(0.5 * (a + b)))
            .collect::<Option<_>>()?;
        bore_m.push(*bore_m.last()?);
        let riser_m = line
            .outlet
            .as_ref()
            .map_or(0.0, |o| o.nozzle_height_m.max(0.0));
        if riser_m > 0.0 {
            station_m.push(line.geometry.length_m() + riser_m);
            bore_m.push(*bore_m.last()?);
        }
        Some(Self {
            station_m,
            bore_m,
            riser_m,
            level_over_mouth_m: line.intake.low_level_m - line.geometry.heights.mean_m.first()?,
            air_head_m: air_head_m(&line.environment),
        })
    }

    /// Heights on the stations, with the riser.
    pub fn heights(&self, heights_m: &[f64]) -> Vec<f64> {
        let mut out = heights_m.to_vec();
        if self.riser_m > 0.0 {
            out.push(last(&out) + self.riser_m);
        }
        out
    }

    /// The course at heights made by [`StartupLine::heights`].
    pub fn course<'a>(&'a self, heights_m: &'a [f64]) -> PipeProfile<'a> {
        PipeProfile {
            station_m: &self.station_m,
            height_m: heights_m,
            bore_m: &self.bore_m,
        }
    }

    /// What presses at the ends: the water level goes up and down with the mouth, so a shift of all heights changes nothing.
    pub fn ends(&self, heights_m: &[f64]) -> Ends {
        Ends {
            level_m: first(heights_m) + self.level_over_mouth_m,
            air_head_m: self.air_head_m,
        }
    }
}

/// Pressure of the air as a head of the line's water, m, for a start.
pub fn air_head_m(environment: &Environment) -> f64 {
    environment.situation.air_pa(AirFor::Squeezing) / environment.water_n_per_m3()
}

/// Stations of the vents that let air out, m.
pub fn openings(reaches: &Reaches, stands: &[Appurtenance], watch: Watch) -> Vec<f64> {
    stands
        .iter()
        .filter(|s| reaches.lets_out(s, watch))
        .map(|s| s.station_m)
        .collect()
}
