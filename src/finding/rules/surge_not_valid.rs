//! Surge figures while air may stay at a crest.

use crate::finding::found::{Found, Severity};
use crate::finding::row::rows;
use crate::study::Study;
use serde::Serialize;

/// Surge figures do not hold while air is in the line.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct SurgeNotValid {}

rows! { SurgeNotValid;
    _ => "surge-not-valid", "surge not valid", "surge", People;
}

pub(in crate::finding) fn found(study: &Study) -> Option<Found<SurgeNotValid>> {
    let surges = study.surges.as_ref()?;
    (surges.runs.iter().any(|s| !s.valid))
        .then(|| Found::along(Severity::Watch, SurgeNotValid {}, study))
}
