//! What was asked and cannot be: each reason once, with the states it holds for.

use super::{Found, Severity, Study, rows};
use crate::finding::serial::called;
use crate::flow::WhyNot;
use crate::pipe::RunState;
use serde::ser::{Serialize, Serializer};

rows! {
    /// States that were asked for and cannot be.
    pub struct CannotBe {
        /// The states, all for one reason.
        #[serde(serialize_with = "called")]
        pub cases: Vec<RunState>,
        /// Why.
        #[serde(flatten, serialize_with = "reason")]
        #[cfg_attr(test, schemars(with = "Reason"))]
        pub why: WhyNot,
        /// The fitting that the reason names.
        #[serde(skip)]
        pub fitting: Option<String>,
    }
    _ => "cannot-be", "cannot be", "running", Power;
}

/// Why it cannot be, as programs read it.
#[derive(Default, serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Reason {
    #[cfg_attr(test, schemars(with = "String"))]
    reason: (),
    /// Required flow, m3/s.
    asked_m3_per_s: Option<f64>,
    /// Largest possible flow, m3/s.
    most_m3_per_s: Option<f64>,
}

/// The report says the reason in words.
fn reason<S: Serializer>(why: &WhyNot, to: S) -> Result<S::Ok, S::Error> {
    match *why {
        WhyNot::TooMuch {
            asked_m3_per_s,
            most_m3_per_s,
        } => Reason {
            reason: (),
            asked_m3_per_s: Some(asked_m3_per_s),
            most_m3_per_s: Some(most_m3_per_s),
        },
        _ => Reason::default(),
    }
    .serialize(to)
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<CannotBe>> {
    let mut found: Vec<Found<CannotBe>> = Vec::new();
    for not in &study.cases.not_run {
        // the drop that lacks is told by itself, and so is a line without pipe
        if matches!(not.why, WhyNot::NoHead { .. } | WhyNot::NoPipe) {
            continue;
        }
        if let Some(known) = found.iter_mut().find(|f| f.what.why == not.why) {
            known.what.cases.push(not.state.clone());
            continue;
        }
        let fitting = match not.why {
            WhyNot::ValveShut { fitting } | WhyNot::NoCoefficient { fitting } => {
                study.line.fittings.get(fitting)
            }
            _ => None,
        };
        let what = CannotBe {
            cases: vec![not.state.clone()],
            why: not.why,
            fitting: fitting.map(|f| f.name.clone()),
        };
        found.push(Found::along(Severity::Fix, what, study));
    }
    found
}
