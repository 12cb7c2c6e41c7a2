//! States that a point above the grade line holds back: each point once, told by the state that asks for least.

use super::{Found, Severity, Study, rows};
use crate::finding::serial::sentence;
use crate::flow::{Limited, LimitedBy, Remedy};
use crate::pipe::RunState;
use serde::Serialize;

rows! {
    /// The line does not run full: a crest governs.
    pub struct NotFull {
        /// The case.
        pub case: RunState,
        /// Flow that passes, m3/s.
        pub flow_m3_per_s: f64,
        /// Why, what it would carry sealed, and what would help.
        #[serde(serialize_with = "sentence")]
        #[cfg_attr(test, schemars(with = "String"))]
        pub limited: Limited,
        /// Other cases that ask for more and are held at the same place.
        pub also: Vec<AlsoHeld>,
    }
    _ => "does-not-run-full", "does not run full", "crests", Power;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<NotFull>> {
    let mut found: Vec<Found<NotFull>> = Vec::new();
    for run in &study.cases.runs {
        let Some(limited) = run.limited.as_ref().filter(|l| l.by != LimitedBy::Stream) else {
            continue;
        };
        let known = found.iter_mut().find(|f| f.from_m == limited.station_m);
        if let Some(known) = known {
            known.what.also.push(AlsoHeld {
                case: run.state().clone(),
                area_share: throttle(limited),
            });
            continue;
        }
        let what = NotFull {
            case: run.state().clone(),
            flow_m3_per_s: run.flow_m3_per_s,
            limited: limited.clone(),
            also: Vec::new(),
        };
        // where no vent lets air in and nothing boils, the working limit decides: common practice and own caution
        let by_limit = !limited.vented && limited.by == LimitedBy::Crest;
        found.push(Found::at(Severity::Fix, what, limited.station_m).on_memory(by_limit));
    }
    found
}

/// The share of the jets' area that throttling must leave, where it helps.
fn throttle(limited: &Limited) -> Option<f64> {
    limited.remedies.iter().find_map(|r| match r {
        Remedy::Throttle { area_share, .. } => Some(*area_share),
        _ => None,
    })
}

/// A case that is held at the same place as another.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct AlsoHeld {
    /// The case.
    pub case: RunState,
    /// Share of its jets' area to throttle to, where throttling helps.
    pub area_share: Option<f64>,
}
