//! How far below the air's pressure a pipe may run.

use super::friction::SAME_M;
use crate::capacity::joint_suction_m;
use crate::line::{Appurtenance, Geometry, Inlet, Line, Reaches, Wishes};
use crate::unit::physics::WaterProperties;

/// Gauge head at which water boils, m (negative): less than this no column of water can hang.
///
/// (vapour pressure - pressure of the air) over (density times gravity). Source: US Standard Atmosphere 1976 with IAPWS R7-97(2012); -10.2 m at the sea and 10 C.
pub fn vapour_head_m(air_pa: f64, water: &WaterProperties, gravity_m_per_s2: f64) -> f64 {
    -(air_pa - water.vapour_pa) / (water.density_kg_per_m3 * gravity_m_per_s2)
}

/// Share of the way to boiling that is worked with on tight joints: 5 m of the 10.2 m at the sea, the advised limit of siphon practice.
/// The practical outer limit, 7 to 8 m at the sea, leaves nothing for surge, and air comes out of solution long before (common practice, no source).
pub const TIGHT_SHARE: f64 = 0.49;

/// Lowest gauge head that is worked with at a station, m (negative or 0): the user's limit, never beyond nine tenths of the way to boiling;
/// else the share of that way, and not beyond what the joints there keep tight.
pub fn working_limit_m(reaches: &Reaches, wishes: &Wishes, station_m: f64, boiling_m: f64) -> f64 {
    let tight = TIGHT_SHARE * boiling_m;
    match reaches
        .at(station_m)
        .and_then(|r| joint_suction_m(wishes, r))
    {
        Some((own_m, true)) => (-own_m.max(0.0)).max(0.9 * boiling_m),
        Some((joint_m, false)) => tight.max(0.0 - joint_m),
        None => tight,
    }
}

/// The same at stations in order, 0 at the first one from an open vent on.
pub fn working_limits_m(line: &Line, stations_m: &[f64], boiling_m: f64) -> Vec<f64> {
    let mut working_m: Vec<f64> = stations_m
        .iter()
        .map(|&s| working_limit_m(&line.reaches, &line.wishes, s, boiling_m))
        .collect();
    for vent in open_vents(line) {
        let at = stations_m.partition_point(|&s| s < vent.station_m - SAME_M);
        if let Some(limit) = working_m.get_mut(at) {
            *limit = 0.0;
        }
    }
    working_m
}

/// How far below its mouth a vent does not count while the water level is not known, m: with the level taken at the mouth's centre the first metres always look sucked at,
/// and a line is not to be called short of water for a figure that nobody gave.
const NEAR_MOUTH_M: f64 = 1.0;

/// Whether a vent at a station is held to draw air in where the pressure falls below the air's.
pub fn counts_where_it_stands(geometry: &Geometry, intake: &Inlet, station_m: f64) -> bool {
    let below_mouth_m = geometry.elevation_m(0.0) - geometry.elevation_m(station_m);
    intake.level_known || below_mouth_m >= NEAR_MOUTH_M
}

/// Vents that count for where the line can run full.
pub(super) fn open_vents(line: &Line) -> impl Iterator<Item = &Appurtenance> {
    line.stands.iter().filter(|s| {
        line.reaches.draws_in(s)
            && counts_where_it_stands(&line.geometry, &line.intake, s.station_m)
    })
}
