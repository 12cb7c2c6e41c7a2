//! Where the state with the largest flow is too slow to carry silt: the others are slower still.

use super::{Found, Severity, Study, rows};
use crate::pipe::RunState;

rows! {
    /// The water is too slow to carry silt on.
    pub struct SiltSettles {
        /// The case.
        pub case: RunState,
        /// Velocity there, m/s.
        pub velocity_m_per_s: f64,
        /// From this on silt stays in motion, m/s.
        pub carries_m_per_s: f64,
        /// From this on settled grit is flushed, m/s.
        pub flushes_m_per_s: f64,
    }
    _ => "silt-settles", "silt settles", "running", Power;
}

pub(in crate::finding) fn found(study: &Study) -> Option<Found<SiltSettles>> {
    let run = study.cases.largest_flow().filter(|r| r.flows())?;
    let slow: Vec<_> = run.silt.iter().filter(|c| c.settles()).collect();
    let worst = slow
        .iter()
        .min_by(|a, b| a.velocity_m_per_s.total_cmp(&b.velocity_m_per_s))?;
    let what = SiltSettles {
        case: run.state().clone(),
        velocity_m_per_s: worst.velocity_m_per_s,
        carries_m_per_s: worst.carries_m_per_s,
        flushes_m_per_s: worst.flushes_m_per_s,
    };
    let (from, to) = (slow.first()?.from_m, slow.last()?.to_m);
    // the drags are from memory
    Some(Found::new(Severity::Watch, what, from, to).on_memory(true))
}
