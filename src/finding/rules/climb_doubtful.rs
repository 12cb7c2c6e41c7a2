//! A climb that the survey cannot tell: one that is more likely than not, and that nothing vents, is to be settled.

use super::crests::Climbs;
use super::reaches::setups;
use super::{Found, Severity, rows};
use crate::profile::{Chance, ClimbVerdict, SettlingSurvey, settling};
use serde::ser::{Serialize, Serializer};

rows! {
    /// The survey cannot tell whether the pipe climbs here.
    pub struct ClimbDoubtful {
        /// Mean of the largest rise, m.
        pub rise_m: f64,
        /// Its standard deviation, m.
        pub rise_sd_m: f64,
        /// Set-ups of a level that would settle it.
        pub setups: usize,
        /// More walks that would settle it, with which chance; `None` where the line was not walked.
        #[serde(flatten, serialize_with = "ways")]
        #[cfg_attr(test, schemars(with = "Ways"))]
        pub settling: Option<SettlingSurvey>,
        /// Several walks do not agree: without one of them the answer is another.
        pub hangs_on_one_walk: bool,
        /// Mark that vents it, should it climb, by name or kind.
        #[serde(rename = "vented_by")]
        pub by: Option<String>,
    }
    _ => "climb-doubtful", "climb doubtful", "climbs", Power;
}

/// What would settle it, as programs read it.
#[derive(serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Ways {
    /// True if more walks can decide.
    walks_tell: bool,
    /// More walks that can decide.
    settled_by_walks: Option<Chance>,
    /// Walks with a barometer that can decide.
    settled_by_barometer: Option<Chance>,
}

fn ways<S: Serializer>(settling: &Option<SettlingSurvey>, to: S) -> Result<S::Ok, S::Error> {
    Ways {
        walks_tell: settling.is_some(),
        settled_by_walks: settling.and_then(|s| s.walks),
        settled_by_barometer: settling.map(|s| s.barometer),
    }
    .serialize(to)
}

pub(in crate::finding) fn found(climbs: Climbs<'_>) -> Vec<Found<ClimbDoubtful>> {
    climbs
        .all()
        .filter(|(climb, _)| climb.verdict == ClimbVerdict::CannotTell)
        .map(|(climb, at)| {
            let severity = if climb.probability > 0.5 && at.vented_by.is_none() {
                Severity::Fix
            } else {
                Severity::Watch
            };
            let what = ClimbDoubtful {
                rise_m: climb.rise_m,
                rise_sd_m: climb.rise_sd_m,
                setups: setups(climb.reach_from_m, climb.reach_to_m),
                settling: settling(climbs.route, climb, climbs.profile.climb_threshold_m),
                hangs_on_one_walk: climb.hangs_on_one_walk,
                by: at.vented_by,
            };
            Found::new(severity, what, climb.reach_from_m, climb.reach_to_m)
                .certainty(climb.probability)
        })
        .collect()
}
