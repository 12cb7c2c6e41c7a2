//! Water faster than the limit. The strongest state speaks for the others.

use crate::finding::found::{Found, Severity};
use crate::finding::row::rows;
use crate::pipe::RunState;
use crate::study::Study;
use serde::Serialize;

/// Faster than the limit.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Fast {
    /// The case.
    pub case: RunState,
    /// Velocity, m/s.
    pub velocity_m_per_s: f64,
    /// Limit, m/s.
    pub limit_m_per_s: f64,
}

rows! { Fast;
    _ => "fast", "fast", "running", Plant;
}

pub(in crate::finding) fn found(study: &Study) -> Option<Found<Fast>> {
    let most = study.cases.largest_flow().filter(|r| r.flows())?;
    let limit = study.line.wishes.limits.velocity_m_per_s;
    let what = Fast {
        case: most.state().clone(),
        velocity_m_per_s: most.velocity_max_m_per_s,
        limit_m_per_s: limit,
    };
    (most.velocity_max_m_per_s > limit)
        .then(|| Found::at(Severity::Watch, what, most.velocity_max_station_m))
}
