//! A line without a drop.

use super::{Found, Severity, Study, rows};
use crate::flow::WhyNot;

rows! {
    /// The line cannot run: no head, or the survey contradicts itself.
    pub struct NoHead {
        /// Still water less nozzle axis, m.
        pub gross_head_m: f64,
    }
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
