//! A certain climb that nothing vents.

use super::crests::Climbs;
use super::{Found, Severity, rows};
use crate::finding::step::DeclaredStep;
use crate::profile::ClimbVerdict;
use serde::ser::{Serialize, Serializer};

rows! {
    /// A certain climb that nothing vents.
    pub struct ClimbUnvented {
        /// Largest rise, m.
        pub rise_m: f64,
        /// Its standard deviation, m.
        pub rise_sd_m: f64,
        /// Where the crest stands, m.
        #[serde(rename = "crest_station_m")]
        pub crest_m: f64,
        /// Air it may hold, m3.
        pub pocket_m3: f64,
        /// A vent at the crest that works only while somebody opens it: where it stands, m.
        #[serde(rename = "by_hand_station_m")]
        pub by_hand_m: Option<f64>,
        /// A vent at the crest that does not work: where it stands, m.
        #[serde(rename = "idle_station_m")]
        pub idle_m: Option<f64>,
        /// What stands on the line is known; else the survey alone was read.
        pub vents_known: bool,
        /// An open vent would draw air in there while it runs: a cock is all that can stand.
        pub cock_only: bool,
        /// Planned pipe comes up there over ground that falls.
        #[serde(flatten, serialize_with = "up")]
        #[cfg_attr(test, schemars(with = "Up"))]
        pub step: Option<DeclaredStep>,
    }
    _ => "climb", "climb", "climbs", Power;
}

/// Planned pipe that comes up, as programs read it.
#[derive(serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Up {
    /// Change of the position of planned pipe over the ground, m. It is the cause of this rise.
    step_up_m: Option<f64>,
    /// Length of the ramp that removes this rise, m.
    ramp_m: Option<f64>,
}

fn up<S: Serializer>(step: &Option<DeclaredStep>, to: S) -> Result<S::Ok, S::Error> {
    Up {
        step_up_m: step.map(|s| s.up_m),
        ramp_m: step.and_then(|s| s.ramp_m),
    }
    .serialize(to)
}

pub(in crate::finding) fn found(climbs: Climbs<'_>) -> Vec<Found<ClimbUnvented>> {
    climbs
        .all()
        .filter(|(climb, at)| climb.verdict == ClimbVerdict::Climbs && at.vented_by.is_none())
        .map(|(climb, at)| {
            // a cock that stands where nothing else can is all that is to be set there
            let severity = if at.cock_only && at.by_hand_m.is_some() {
                Severity::Watch
            } else {
                Severity::Fix
            };
            let what = ClimbUnvented {
                rise_m: climb.rise_m,
                rise_sd_m: climb.rise_sd_m,
                crest_m: climb.crest_station_m,
                pocket_m3: climb.pocket_m3,
                by_hand_m: at.by_hand_m,
                idle_m: at.idle_m,
                vents_known: climbs.study.is_some(),
                cock_only: at.cock_only,
                step: at.step,
            };
            Found::new(severity, what, climb.low_station_m, climb.crest_station_m)
                .certainty(climb.probability)
        })
        .collect()
}
