//! Pipe whose figures are known from memory or from a secondary source only.

use super::reaches::on_pressure_pipe;
use crate::finding::found::{Found, Severity};
use crate::finding::row::rows;
use crate::study::Study;
use serde::Serialize;

/// Figures of the pipe are not verified against its standard: check the marking.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct CheckMarking {
    /// The pipe's words.
    pub spec: String,
}

rows! { CheckMarking of subject |of| &of.spec;
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
