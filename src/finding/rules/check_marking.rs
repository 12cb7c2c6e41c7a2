//! Pipe whose figures are known from memory or from a secondary source only.

use super::reaches::on_pressure_pipe;
use super::{Found, Severity, Study, rows};

rows! { of subject |of| &of.spec;
    /// Figures of the pipe are not verified against its standard: check the marking.
    pub struct CheckMarking {
        /// The pipe's words.
        pub spec: String,
    }
    _ => "check-marking", "check marking", "pipes", Purse;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<CheckMarking>> {
    on_pressure_pipe(study, |s, declared| {
        let unverified = declared.pipe.is_unverified() && declared.pipe.refused.is_none();
        let spec = s.spec.clone();
        unverified.then(|| {
            Found::new(Severity::Watch, CheckMarking { spec }, s.from_m, s.to_m).on_memory(true)
        })
    })
}
