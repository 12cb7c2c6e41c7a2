//! The reaches of a line with what became of their strength.

use crate::finding::found::Found;
use crate::line::Reach;
use crate::strength::ReachStrength;
use crate::study::Study;

/// What a rule finds on each reach.
pub(super) fn on_reaches<K>(
    study: &Study,
    rule: impl Fn(&ReachStrength, &Reach) -> Option<Found<K>>,
) -> Vec<Found<K>> {
    let judged = study.strength.iter().flat_map(|s| &s.reaches);
    judged
        .zip(&study.line.reaches)
        .filter_map(|(s, r)| rule(s, r))
        .collect()
}

/// The same on what is pressure pipe: of what is not, nothing else is said.
pub(super) fn on_pressure_pipe<K>(
    study: &Study,
    rule: impl Fn(&ReachStrength, &Reach) -> Option<Found<K>>,
) -> Vec<Found<K>> {
    on_reaches(study, |s, r| {
        s.refused.is_none().then(|| rule(s, r)).flatten()
    })
}

/// Set-ups of a level that settle a reach: sights of 25 m, rounded up, at least one.
pub fn setups(from_m: f64, to_m: f64) -> usize {
    const SIGHT_M: f64 = 25.0;
    // A count of sights: small and never negative.
    ((to_m - from_m) / SIGHT_M).ceil().clamp(1.0, 1e6) as usize
}
