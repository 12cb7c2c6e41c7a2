//! A certain climb, vented.

use super::crests::Climbs;
use super::{Found, Severity, rows};
use crate::profile::ClimbVerdict;

rows! {
    /// A certain climb, vented.
    pub struct ClimbVented {
        /// Largest rise, m.
        pub rise_m: f64,
        /// Mark that vents it, by name or kind.
        #[serde(rename = "vented_by")]
        pub by: String,
    }
    _ => "climb-vented", "climb vented", "climbs", Power;
}

pub(in crate::finding) fn found(climbs: Climbs<'_>) -> Vec<Found<ClimbVented>> {
    climbs
        .all()
        .filter(|(climb, _)| climb.verdict == ClimbVerdict::Climbs)
        .filter_map(|(climb, at)| {
            let what = ClimbVented {
                rise_m: climb.rise_m,
                by: at.vented_by?,
            };
            let (from, to) = (climb.low_station_m, climb.crest_station_m);
            Some(Found::new(Severity::Watch, what, from, to).certainty(climb.probability))
        })
        .collect()
}
