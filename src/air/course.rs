//! The line as the start sees it: stations with bores, the riser to the nozzles, the vents that let air out.

use super::lock::{Course, Ends, Opening};
use crate::line::{AirFor, Line, Stand};
use crate::pipe::{Device, MarkKind, State};
use crate::unit::nature::water;

/// Whether somebody is there to open cocks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Watch {
    /// Somebody opens hand cocks and isolating cocks.
    Attended,
    /// Nobody is there.
    Unattended,
}

/// The pipe on its stations, ready to run a start on any heights.
#[derive(Debug, Clone, PartialEq)]
pub struct Piped {
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

impl Piped {
    /// The line's pipe.
    pub fn of(line: &Line) -> Self {
        let mut station_m = line.heights.station_m.clone();
        let bore = |from: f64, to: f64| {
            line.reach_at(0.5 * (from + to))
                .map_or(0.0, |r| r.pipe.inner_diameter_m)
        };
        let mut bore_m: Vec<f64> = station_m
            .iter()
            .zip(station_m.iter().skip(1))
            .map(|(&a, &b)| bore(a, b))
            .collect();
        bore_m.push(bore_m.last().copied().unwrap_or(0.0));
        let riser_m = line
            .outlet
            .as_ref()
            .map_or(0.0, |o| o.nozzle_height_m.max(0.0));
        if riser_m > 0.0 {
            station_m.push(line.length_m() + riser_m);
            bore_m.push(bore_m.last().copied().unwrap_or(0.0));
        }
        Self {
            station_m,
            bore_m,
            riser_m,
            level_over_mouth_m: line.intake.low_level_m
                - line.heights.mean_m.first().copied().unwrap_or(0.0),
            air_head_m: air_head_m(line),
        }
    }

    /// Heights on the stations, with the riser.
    pub fn heights(&self, heights_m: &[f64]) -> Vec<f64> {
        let mut out = heights_m.to_vec();
        if self.riser_m > 0.0 {
            out.push(out.last().copied().unwrap_or(0.0) + self.riser_m);
        }
        out
    }

    /// The course at heights made by [`Piped::heights`].
    pub fn course<'a>(&'a self, heights_m: &'a [f64]) -> Course<'a> {
        Course {
            station_m: &self.station_m,
            height_m: heights_m,
            bore_m: &self.bore_m,
        }
    }

    /// What presses at the ends: the water level goes up and down with the mouth, so a shift of all heights changes nothing.
    pub fn ends(&self, heights_m: &[f64]) -> Ends {
        Ends {
            level_m: heights_m.first().copied().unwrap_or(0.0) + self.level_over_mouth_m,
            air_head_m: self.air_head_m,
        }
    }
}

/// Weight of a cubic metre of the line's usual water, N.
pub fn weight_n_per_m3(line: &Line) -> f64 {
    water(line.water.usual_c).density_kg_per_m3 * line.situation.gravity_m_per_s2
}

/// Pressure of the air as a head of the line's water, m, for a start.
pub fn air_head_m(line: &Line) -> f64 {
    line.situation.air_pa(AirFor::Squeezing) / weight_n_per_m3(line)
}

/// Whether a thing that stands is there to count on: it works, or is planned together with pipe that is planned too.
pub fn is_there(line: &Line, stand: &Stand) -> bool {
    match stand.state {
        State::Works => true,
        State::Stuck => false,
        State::Planned => line
            .reach_at(stand.station_m)
            .is_some_and(|reach| !reach.is_laid),
    }
}

/// Whether a stand lets air out while the line fills.
///
/// A vacuum valve never does. A hand cock, or a vent behind a shut isolating cock, does so only when somebody opens it;
/// so does a vent whose device was not named.
pub fn lets_out(line: &Line, stand: &Stand, watch: Watch) -> bool {
    stand.kind == MarkKind::Vent
        && is_there(line, stand)
        && match stand.device {
            Some(Device::VacuumValve) => false,
            Some(Device::HandCock) | None => watch == Watch::Attended,
            Some(Device::Standpipe | Device::AirValve | Device::CombinationValve) => {
                stand.cock_open || watch == Watch::Attended
            }
        }
}

/// Whether a stand lets air in by itself: standpipe, vacuum valve, combination valve, with its cock open.
pub fn lets_in(line: &Line, stand: &Stand) -> bool {
    stand.kind == MarkKind::Vent
        && is_there(line, stand)
        && stand.cock_open
        && matches!(
            stand.device,
            Some(Device::Standpipe | Device::VacuumValve | Device::CombinationValve)
        )
}

/// The vents that let air out.
pub fn openings(line: &Line, watch: Watch) -> Vec<Opening> {
    line.stands
        .iter()
        .filter(|s| lets_out(line, s, watch))
        .map(|s| Opening::At(s.station_m))
        .collect()
}
