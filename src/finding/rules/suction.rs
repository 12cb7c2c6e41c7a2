//! Suction in the pipe while running, within limits.

use super::{Found, Severity, Study, rows};
use crate::pipe::RunState;

rows! {
    /// Suction in the pipe while running, within limits.
    pub struct Suction {
        /// The case.
        pub case: RunState,
        /// Least pressure, Pa.
        pub pressure_pa: f64,
    }
    _ => "suction", "suction", "crests", Plant;
}

/// Suction that is worth a word, Pa: a metre of water below the air's pressure.
const SUCTION_PA: f64 = -9_800.0;

pub(in crate::finding) fn found(study: &Study) -> Option<Found<Suction>> {
    let run = study.cases.largest_flow().filter(|r| r.flows())?;
    let low: Vec<_> = run
        .points
        .iter()
        .filter(|p| !p.part_full && p.pressure_pa.min(p.pressure_below_pa) < SUCTION_PA)
        .collect();
    let least = low
        .iter()
        .map(|p| p.pressure_pa.min(p.pressure_below_pa))
        .min_by(f64::total_cmp)?;
    let what = Suction {
        case: run.state().clone(),
        pressure_pa: least,
    };
    let (from, to) = (low.first()?.station_m, low.last()?.station_m);
    Some(Found::new(Severity::Watch, what, from, to))
}
