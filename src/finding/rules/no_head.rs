//! A line without a drop.

use crate::finding::found::{Found, Severity};
use crate::finding::row::rows;
use crate::flow::WhyNot;
use crate::study::Study;
use serde::Serialize;

/// The line cannot run: no head, or the survey contradicts itself.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct NoHead {
    /// Still water less nozzle axis, m.
    pub gross_head_m: f64,
}

rows! { NoHead;
    _ => "no-head", "no head", "running", Power;
}

pub(in crate::finding) fn found(study: &Study) -> Option<Found<NoHead>> {
    let gross_head_m = study.cases.not_run.iter().find_map(|n| match n.why {
        WhyNot::NoHead { gross_head_m } => Some(gross_head_m),
        _ => None,
    })?;
    let what = NoHead { gross_head_m };
    Some(Found::along(Severity::Stop, what, study))
}
