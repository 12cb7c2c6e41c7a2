//! Traffic over buried pipe.

use super::{Found, Severity, Study, rows};
use crate::pipe::COVER_THAT_COUNTS_M;
use crate::strength::{NoWheel, WheelLoad};
use serde::{Serialize, Serializer};

rows! {
    /// Traffic over a buried reach: too much, or not to be judged.
    pub struct TrafficLoad {
        /// Share of what the ring may take, or why it cannot be judged.
        #[serde(flatten, serialize_with = "told")]
        #[cfg_attr(test, schemars(with = "TrafficFigures"))]
        pub outcome: Result<f64, NoWheel>,
    }
    TrafficLoad { outcome: Ok(_) } => "traffic-over", "traffic", "strength", Plant;
    TrafficLoad { outcome: Err(_) } => "traffic-not-judged", "traffic", "strength", Plant;
}

/// The outcome, as programs read it.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(untagged)]
enum TrafficFigures {
    Over {
        share: f64,
    },
    NotJudged {
        // the report says why in words
        #[cfg_attr(test, schemars(with = "String"))]
        reason: (),
        /// Required cover, m.
        wanted_cover_m: Option<f64>,
    },
}

fn told<S: Serializer>(outcome: &Result<f64, NoWheel>, to: S) -> Result<S::Ok, S::Error> {
    match *outcome {
        Ok(share) => TrafficFigures::Over { share },
        Err(why) => TrafficFigures::NotJudged {
            reason: (),
            wanted_cover_m: (why == NoWheel::CoverTooThin).then_some(COVER_THAT_COUNTS_M),
        },
    }
    .serialize(to)
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<TrafficLoad>> {
    let loaded = study.strength.iter().flat_map(|s| &s.wheels);
    loaded.filter_map(on_reach).collect()
}

fn on_reach(wheel: &WheelLoad) -> Option<Found<TrafficLoad>> {
    let (severity, outcome) = match &wheel.outcome {
        Ok(pressed) if pressed.share > 1.0 => (Severity::Fix, Ok(pressed.share)),
        Ok(_) => return None,
        Err(why) => (Severity::Watch, Err(*why)),
    };
    Some(Found::new(severity, TrafficLoad { outcome }, wheel.from_m, wheel.to_m).on_memory(true))
}
