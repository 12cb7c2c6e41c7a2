//! A run of steel above the ground between two places that hold it, and what loads it.

use super::Loads;
use super::ground::water_of;
use super::penstock::SteelShell;
use super::pieces::Jointed;
use crate::line::{Line, Reach};
use crate::numeric::math;
use crate::pipe::density_kg_per_m3;
use crate::route::interpolate;

/// The steel pipe of a reach.
pub(super) fn shell(line: &Line, reach: &Reach) -> SteelShell {
    let water = water_of(line);
    SteelShell {
        bore_m: reach.pipe.inner_diameter_m,
        wall_m: reach.pipe.wall_m,
        steel_n_per_m3: density_kg_per_m3(&reach.pipe).value * water.gravity_m_per_s2,
        water_n_per_m3: water.density_kg_per_m3 * water.gravity_m_per_s2,
    }
}

/// Largest pressure at a station in service or in the test, Pa.
pub(super) fn largest_pa(line: &Line, loads: &Loads, station_m: f64) -> f64 {
    let at = |values: &[f64]| interpolate(&line.heights.station_m, values, station_m);
    let test = if loads.test_pa.is_empty() {
        0.0
    } else {
        at(&loads.test_pa)
    };
    at(&loads.largest_pa).max(test).max(0.0)
}

/// The run that a station lies in; where two meet, the upper one.
pub(super) fn run_at(runs: &[Jointed], station_m: f64) -> Option<&Jointed> {
    runs.iter()
        .find(|r| (r.from_m - 1e-6..=r.to_m + 1e-6).contains(&station_m))
}

/// The run that begins or ends at a station.
pub(super) fn run_beside(runs: &[Jointed], station_m: f64) -> Option<&Jointed> {
    runs.iter()
        .find(|r| (r.from_m - station_m).abs() < 0.5 || (r.to_m - station_m).abs() < 0.5)
}

/// Rise of the pipe from station to station, rad; falling pipe is negative.
pub(super) fn rise_rad(line: &Line, from_m: f64, to_m: f64) -> f64 {
    let rise = line.elevation_m(to_m) - line.elevation_m(from_m);
    math::asin((rise / (to_m - from_m).max(1e-6)).clamp(-1.0, 1.0))
}
