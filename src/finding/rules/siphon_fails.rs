//! A siphon at the intake that does not hold.

use super::{Found, Severity, Study, rows};

rows! {
    /// The siphon at the intake does not hold: a vent lets air into it, or its suction is more than can be worked with.
    pub struct SiphonFails {
        /// Its crest above the lowest water, m.
        pub lift_m: f64,
        /// Gauge head at its crest, m (negative): at the largest flow where it would run; `None`: it does not even stand.
        pub gauge_m: Option<f64>,
        /// Lowest gauge head that is worked with there, m.
        pub limit_m: f64,
        /// A vent lets air into it by itself.
        pub vented: bool,
    }
    _ => "siphon-fails", "siphon fails", "intake", Power;
}

pub(in crate::finding) fn found(study: &Study) -> Option<Found<SiphonFails>> {
    let standing = study.air.as_ref().and_then(|a| a.siphon)?;
    let running = study.intake.as_ref().and_then(|i| i.siphon);
    if standing.holds() && running.is_none_or(|r| r.holds) {
        return None;
    }
    let what = SiphonFails {
        lift_m: standing.lift_m,
        gauge_m: running.filter(|_| standing.holds()).map(|r| r.gauge_m),
        limit_m: -standing.works_to_m,
        vented: standing.broken_by.is_some(),
    };
    // the working limit is common practice and own caution
    let memory = !what.vented;
    Some(Found::at(Severity::Fix, what, standing.station_m).on_memory(memory))
}
