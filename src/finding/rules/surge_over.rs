//! Movements beyond what the pipe may take.

use super::{Found, Severity, Study, rows};
use crate::finding::cause::comes_at_once;
use crate::pipe::{Law, Often};
use crate::surge::Surge;

rows! { of subject |of| &of.movement;
    /// A surge goes beyond what the pipe may take or below what it bears.
    pub struct SurgeOver {
        /// The movement.
        pub movement: String,
        /// Total pressure, Pa.
        pub pressure_pa: f64,
        /// Allowed, Pa.
        pub allowed_pa: f64,
        /// Shortest safe time, s, where one was found.
        pub safe_s: Option<f64>,
        /// What must go evenly in that time.
        pub law: Law,
        /// It comes at once by itself, as a stone in a jet does: nobody can slow it.
        pub at_once: bool,
    }
    _ => "surge-over", "surge over", "surge", People;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<SurgeOver>> {
    let Some(strength) = &study.strength else {
        return Vec::new();
    };
    let limits = &strength.limits;
    let marched = study.surges.iter().flat_map(|s| s.weighed());
    marched
        .filter_map(|surge| {
            let allowed = match surge.often {
                Often::Routine => &limits.routine_pa,
                Often::Rare => &limits.rare_pa,
            };
            over(surge, allowed).map(|f| {
                let memory = rests_on_memory(study, f.to_m);
                f.on_memory(memory)
            })
        })
        .collect()
}

fn over(surge: &Surge, allowed_pa: &[f64]) -> Option<Found<SurgeOver>> {
    let beyond: Vec<_> = surge
        .points
        .iter()
        .zip(allowed_pa)
        .filter(|(p, a)| p.pressure_max_pa > **a)
        .collect();
    let (worst, allowed) = beyond
        .iter()
        .max_by(|a, b| (a.0.pressure_max_pa - a.1).total_cmp(&(b.0.pressure_max_pa - b.1)))?;
    let what = SurgeOver {
        movement: surge.movement.clone(),
        pressure_pa: worst.pressure_max_pa,
        allowed_pa: **allowed,
        safe_s: surge.shortest_safe_s,
        law: surge.law,
        at_once: comes_at_once(surge),
    };
    let severity = match surge.often {
        Often::Routine => Severity::Stop,
        Often::Rare => Severity::Fix,
    };
    let (first, last) = (beyond.first()?.0, beyond.last()?.0);
    Some(Found::new(severity, what, first.station_m, last.station_m))
}

/// Whether what the pipe at a station may take rests on a figure that is not verified.
fn rests_on_memory(study: &Study, station_m: f64) -> bool {
    study
        .strength
        .iter()
        .flat_map(|s| &s.reaches)
        .any(|r| r.from_memory && (r.from_m..=r.to_m).contains(&station_m))
}
