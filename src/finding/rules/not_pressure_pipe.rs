//! Pipe that is not made for pressure.

use super::reaches::on_reaches;
use super::{Found, Severity, Study, rows};

rows! { of subject |of| &of.spec;
    /// Not pressure pipe.
    pub struct NotPressurePipe {
        /// The pipe's words.
        pub spec: String,
        /// Why it is refused.
        pub reason: String,
    }
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
