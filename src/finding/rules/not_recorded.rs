//! Stretches without a height. Those that follow each other are one; a line drawn on a map has no more of them than its points lie apart.

use super::reaches::setups;
use super::{Found, Severity, rows};
use crate::route::Route;

rows! {
    /// A stretch on which the walks have no height.
    pub struct NotRecorded {
        /// Set-ups of a level that would settle it.
        pub setups: usize,
    }
    _ => "not-recorded", "not recorded", "survey-gps", Plant;
}

pub(in crate::finding) fn found(route: &Route) -> Vec<Found<NotRecorded>> {
    let mut spans: Vec<(f64, f64)> = Vec::new();
    for &(from, to) in &route.unrecorded {
        match spans.last_mut() {
            Some(last) if from - last.1 < 1.0 => last.1 = to,
            _ => spans.push((from, to)),
        }
    }
    let told = |(from, to)| {
        let setups = setups(from, to);
        Found::new(Severity::Fix, NotRecorded { setups }, from, to)
    };
    spans.into_iter().map(told).collect()
}
