//! Pipe that a full vacuum would press flat, with the vents that keep it alive.

use super::{Found, Severity, Study, rows};

rows! {
    /// A full vacuum would press the pipe flat: it lives by the vents that let air in.
    pub struct NeedsAir {
        /// Vents that stand and let air in by themselves on it.
        pub stand: usize,
        /// Vents that are wanted and would.
        pub wanted: usize,
    }
    NeedsAir { wanted: 1.., .. } => "air-inlet-lacking", "air inlet lacking", "collapse", Plant;
    NeedsAir { .. } => "lives-by-vents", "lives by vents", "collapse", Plant;
}

/// A vent so near the pipe's end still serves it, m.
const NEAR_M: f64 = 10.0;

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<NeedsAir>> {
    let reaches = study.strength.iter().flat_map(|s| &s.needs_air);
    reaches.map(|at| on_reach(study, *at)).collect()
}

fn on_reach(study: &Study, (from_m, to_m): (f64, f64)) -> Found<NeedsAir> {
    let on = |station_m: f64| (from_m - NEAR_M..=to_m + NEAR_M).contains(&station_m);
    let stand = study
        .line
        .stands
        .iter()
        .filter(|s| on(s.station_m) && study.line.reaches.lets_in(s))
        .count();
    let wanted = study
        .air
        .iter()
        .flat_map(|a| &a.vents)
        .filter(|v| v.stands.is_none() && on(v.station_m) && v.device.lets_in())
        .count();
    // Where an inlet is still to be set, the line must not be emptied before.
    let severity = if wanted > 0 {
        Severity::Fix
    } else {
        Severity::Watch
    };
    Found::new(severity, NeedsAir { stand, wanted }, from_m, to_m).on_memory(true)
}
