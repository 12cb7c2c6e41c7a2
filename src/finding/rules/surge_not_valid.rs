//! Surge figures while air may stay at a crest.

use super::{Found, Severity, Study, rows};

rows! {
    /// Surge figures do not hold while air is in the line.
    pub struct SurgeNotValid {}
    _ => "surge-not-valid", "surge not valid", "surge", People;
}

pub(in crate::finding) fn found(study: &Study) -> Option<Found<SurgeNotValid>> {
    let surges = study.surges.as_ref()?;
    (surges.runs.iter().any(|s| !s.valid))
        .then(|| Found::along(Severity::Watch, SurgeNotValid {}, study))
}
