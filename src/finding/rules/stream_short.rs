//! The stream against what the jets take, in its leanest month.

use super::{Found, Severity, Study, rows};
use crate::pipe::RunState;

rows! {
    /// The jets take more than the stream gives.
    pub struct StreamShort {
        /// The case.
        pub case: RunState,
        /// Flow that the jets take, m3/s.
        pub flow_m3_per_s: f64,
        /// Flow the stream can give, m3/s.
        pub available_m3_per_s: f64,
        /// The month, from 1, where twelve were given.
        pub month: Option<usize>,
        /// The largest state that it feeds then; `None`: not even the smallest.
        pub feeds: Option<RunState>,
    }
    _ => "stream-short", "stream short", "intake", Power;
}

pub(in crate::finding) fn found(study: &Study) -> Option<Found<StreamShort>> {
    let stream = study.stream.as_ref()?;
    let month = stream.months.get(stream.driest)?;
    // Of measured days alone the days speak for themselves, as long as anything may be taken.
    if stream.as_measured && month.may_take_m3_per_s > 0.0 {
        return None;
    }
    // The smallest state that is already too much says where the limit lies.
    let short = stream
        .takes
        .iter()
        .filter(|t| t.at_intake_m3_per_s > month.may_take_m3_per_s * (1.0 + 1e-9))
        .min_by(|a, b| a.at_intake_m3_per_s.total_cmp(&b.at_intake_m3_per_s))?;
    // a stream of which nothing may be taken in any month runs nothing
    let severity = if stream.months.iter().all(|m| m.may_take_m3_per_s <= 0.0) {
        Severity::Fix
    } else {
        Severity::Watch
    };
    let feeds = month.feeds.and_then(|i| stream.takes.get(i));
    let what = StreamShort {
        case: short.state.clone(),
        flow_m3_per_s: short.at_intake_m3_per_s,
        available_m3_per_s: month.may_take_m3_per_s,
        month: (stream.months.len() > 1).then_some(stream.driest + 1),
        feeds: feeds.map(|t| t.state.clone()),
    };
    Some(Found::at(severity, what, 0.0))
}
