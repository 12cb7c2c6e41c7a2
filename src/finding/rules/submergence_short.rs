//! Too little water over the mouth.

use super::{Found, Severity, Study, rows};

rows! {
    /// Intake pulls air: too little water over the mouth.
    pub struct SubmergenceShort {
        /// Water over the crown at the lowest level, m.
        pub has_m: f64,
        /// Water wanted, m.
        #[serde(rename = "wanted_m")]
        pub wants_m: f64,
    }
    _ => "submergence", "submergence", "intake", Power;
}

pub(in crate::finding) fn found(study: &Study) -> Option<Found<SubmergenceShort>> {
    let intake = study.intake.as_ref()?;
    let what = SubmergenceShort {
        has_m: intake.cover_m?,
        wants_m: intake.wanted_m,
    };
    (intake.is_deep_enough() == Some(false))
        .then(|| Found::at(Severity::Watch, what, 0.0).on_memory(true))
}
