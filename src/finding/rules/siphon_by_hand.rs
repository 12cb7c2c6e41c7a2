//! A siphon at the intake that holds, and must be primed.

use super::{Found, Severity, Study, rows};

rows! {
    /// The siphon at the intake must be primed by hand after each draining.
    pub struct SiphonByHand {
        /// Its crest above the lowest water, m.
        pub lift_m: f64,
        /// Lift at which water boils at this site, m.
        pub boils_at_m: f64,
    }
    _ => "siphon-by-hand", "siphon by hand", "intake", Power;
}

pub(in crate::finding) fn found(study: &Study) -> Option<Found<SiphonByHand>> {
    let standing = study.air.as_ref().and_then(|a| a.siphon)?;
    let running = study.intake.as_ref().and_then(|i| i.siphon);
    let what = SiphonByHand {
        lift_m: standing.lift_m,
        boils_at_m: standing.boils_at_m,
    };
    (standing.holds() && running.is_none_or(|r| r.holds))
        .then(|| Found::at(Severity::Watch, what, standing.station_m))
}
