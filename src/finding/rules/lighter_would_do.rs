//! The lighter pipe that would do for a whole reach that is not bought yet.

use super::reaches::on_reaches;
use super::{Found, Severity, Study, rows};
use crate::strength::would_need_air;

rows! {
    /// The class of a reach is heavier than it need be, or could be.
    pub struct LighterWouldDo {
        /// The pipe's words.
        pub spec: String,
        /// The lightest that would do.
        #[serde(rename = "lightest_spec")]
        pub lightest: String,
        /// A full vacuum would press it flat, and not what is declared.
        pub needs_air: bool,
    }
    _ => "lighter-would-do", "lighter would do", "strength", Purse;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<LighterWouldDo>> {
    on_reaches(study, |s, declared| {
        if declared.is_laid {
            return None;
        }
        let pipe = s.lightest.as_ref().ok()?;
        let what = LighterWouldDo {
            spec: s.spec.clone(),
            lightest: pipe.spec.clone(),
            needs_air: would_need_air(&study.line, (s.from_m, s.to_m), pipe),
        };
        (pipe.mass_kg_per_m < declared.pipe.mass_kg_per_m * 0.999)
            .then(|| Found::new(Severity::Watch, what, s.from_m, s.to_m))
    })
}
