//! Traffic over buried pipe.

use crate::finding::found::{Found, Severity};
use crate::finding::row::rows;
use crate::pipe::COVER_THAT_COUNTS_M;
use crate::strength::{NoWheel, WheelLoad};
use crate::study::Study;
use serde::ser::{Serialize, SerializeStruct as _, Serializer};

/// Traffic over a buried reach: too much, or not to be judged.
#[derive(Debug, Clone, PartialEq)]
pub struct TrafficLoad {
    /// Share of what the ring may take, or why it cannot be judged.
    pub outcome: Result<f64, NoWheel>,
}

rows! { TrafficLoad;
    TrafficLoad { outcome: Ok(_) } => "traffic-over", "traffic", "strength", Plant;
    TrafficLoad { outcome: Err(_) } => "traffic-not-judged", "traffic", "strength", Plant;
}

impl Serialize for TrafficLoad {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut out = to.serialize_struct("TrafficLoad", 2)?;
        match self.outcome {
            Ok(share) => out.serialize_field("share", &share)?,
            Err(why) => {
                let wanted_m = (why == NoWheel::CoverTooThin).then_some(COVER_THAT_COUNTS_M);
                // the report says why in words
                out.serialize_field("reason", &())?;
                out.serialize_field("wanted_cover_m", &wanted_m)?;
            }
        }
        out.end()
    }
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
