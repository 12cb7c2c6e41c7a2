//! Pipe that is not made for pressure.

use super::reaches::on_reaches;
use crate::finding::found::{Found, Severity};
use crate::finding::row::rows;
use crate::study::Study;
use serde::Serialize;

/// Not pressure pipe.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct NotPressurePipe {
    /// The pipe's words.
    pub spec: String,
    /// Why it is refused.
    pub reason: String,
}

rows! { NotPressurePipe of subject |of| &of.spec;
    _ => "not-pressure-pipe", "not pressure pipe", "pipes", People;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<NotPressurePipe>> {
    on_reaches(study, |s, _| {
        let reason = s.refused.clone()?;
        let spec = s.spec.clone();
        Some(Found::new(
            Severity::Stop,
            NotPressurePipe { spec, reason },
            s.from_m,
            s.to_m,
        ))
    })
}
