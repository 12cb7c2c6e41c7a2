//! Joints that could not be kept away from where they should not be.

use super::{Found, Severity, Study, rows};

rows! {
    /// Joints that no piece is long enough to keep off a climb, a crest, a bend or a span.
    pub struct JointsForced {
        /// How many.
        pub count: usize,
    }
    _ => "joints-forced", "joints forced", "laying", Plant;
}

pub(in crate::finding) fn found(study: &Study) -> Option<Found<JointsForced>> {
    let joints = &study.laying.as_ref()?.joints;
    let forced: Vec<f64> = joints
        .iter()
        .filter(|j| j.forced.is_some())
        .map(|j| j.station_m)
        .collect();
    let count = forced.len();
    let (from, to) = (*forced.first()?, *forced.last()?);
    Some(Found::new(
        Severity::Watch,
        JointsForced { count },
        from,
        to,
    ))
}
