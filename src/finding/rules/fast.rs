//! Water faster than the limit. The strongest state speaks for the others.

use super::{Found, Severity, Study, rows};
use crate::pipe::RunState;

rows! {
    /// Faster than the limit.
    pub struct Fast {
        /// The case.
        pub case: RunState,
        /// Velocity, m/s.
        pub velocity_m_per_s: f64,
        /// Limit, m/s.
        pub limit_m_per_s: f64,
    }
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
