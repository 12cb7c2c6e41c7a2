//! The days on which the stream was measured: against what the states take, and against the flow that was given.

use super::{Found, Severity, Study, rows};
use crate::flow::{SURELY, StreamUse};
use crate::gauging::Gauged;
use crate::pipe::RunState;

rows! {
    /// What was found of the stream as it was measured.
    #[serde(untagged)]
    pub enum Gauging {
        /// On some measured day the largest state would have taken more than may be taken.
        Short {
            /// The state.
            case: RunState,
            /// The day of the least flow, as it was written.
            date: String,
            /// What was measured that day, m3/s.
            flow_m3_per_s: f64,
            /// Its standard deviation, m3/s.
            flow_sd_m3_per_s: f64,
            /// What the state and the stream need together, m3/s.
            wanted_m3_per_s: f64,
            /// What the state would leave in the stream that day, m3/s.
            left_m3_per_s: f64,
            /// Days with too little.
            short_days: usize,
            /// Days that were measured.
            days: usize,
            /// The largest state that this day surely feeds.
            feeds: Option<RunState>,
        },
        /// No measured day is surely too low, but one may be.
        Doubtful {
            /// The state.
            case: RunState,
            /// The day.
            date: String,
            /// What was measured that day, m3/s.
            flow_m3_per_s: f64,
            /// Its standard deviation, m3/s.
            flow_sd_m3_per_s: f64,
            /// What the state and the stream need together, m3/s.
            wanted_m3_per_s: f64,
            /// How likely there is enough, 0 to 1.
            probability: f64,
        },
        /// The flow that was given is more than what was measured.
        Over {
            /// Given, m3/s.
            given_m3_per_s: f64,
            /// The month it is given for, 1 to 12; `None`: for the whole year.
            month: Option<usize>,
            /// The largest that was measured, m3/s.
            flow_m3_per_s: f64,
            /// Its standard deviation, m3/s.
            flow_sd_m3_per_s: f64,
            /// The day.
            date: String,
        },
    }
    Gauging::Short { .. } => "stream-measured-short", "measured stream short", "gauging", Power;
    Gauging::Doubtful { .. } => "stream-measured-doubtful", "measured stream doubtful", "gauging", Power;
    Gauging::Over { .. } => "stream-not-as-measured", "stream not as measured", "gauging", Power;
}

/// The days on which the stream was measured: against what the states take, and against the flow that was given.
pub(in crate::finding) fn found(study: &Study) -> Vec<Found<Gauging>> {
    let Some(stream) = &study.stream else {
        return Vec::new();
    };
    let found =
        |severity, what, certainty| Found::new(severity, what, 0.0, 0.0).certainty(certainty);
    let mut out = Vec::new();
    if let Some((what, probability)) = short(study, stream) {
        out.push(found(Severity::Watch, what, probability));
    }
    out.extend(over(study, stream).map(|what| found(Severity::Watch, what, 1.0)));
    out
}

/// The least of the measured days against the largest state.
fn short(study: &Study, stream: &StreamUse) -> Option<(Gauging, f64)> {
    let most = stream
        .takes
        .iter()
        .max_by(|a, b| a.at_intake_m3_per_s.total_cmp(&b.at_intake_m3_per_s))?;
    let (day, probability) = stream
        .days
        .iter()
        .filter_map(|d| Some((d, d.feeds_all?)))
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    if probability >= SURELY {
        return None;
    }
    let gauged = study.line.measured.gauged.get(day.gauged)?;
    let is_short = |p: f64| p < 1.0 - SURELY;
    let (case, date) = (most.state.clone(), gauged.date.clone());
    let (flow_m3_per_s, flow_sd_m3_per_s) = (gauged.flow_m3_per_s, gauged.sd_m3_per_s);
    let wanted_m3_per_s = most.stream_m3_per_s;
    if !is_short(probability) {
        let what = Gauging::Doubtful {
            case,
            date,
            flow_m3_per_s,
            flow_sd_m3_per_s,
            wanted_m3_per_s,
            probability,
        };
        return Some((what, 1.0 - probability));
    }
    let all = stream.days.iter().filter_map(|d| d.feeds_all);
    let what = Gauging::Short {
        case,
        date,
        flow_m3_per_s,
        flow_sd_m3_per_s,
        wanted_m3_per_s,
        left_m3_per_s: day.left_m3_per_s?,
        short_days: all.filter(|p| is_short(*p)).count(),
        days: stream.days.len(),
        feeds: day
            .feeds
            .and_then(|i| stream.takes.get(i))
            .map(|t| t.state.clone()),
    };
    Some((what, 1.0 - probability))
}

/// The flow that was given is above everything measured: in its month, or in the whole year where one flow is given for it.
fn over(study: &Study, stream: &StreamUse) -> Option<Gauging> {
    if stream.as_measured {
        return None;
    }
    let of_year = stream.months.len() == 1;
    let beyond = |given: f64, g: &Gauged| given > g.flow_m3_per_s + TWO_SD * g.sd_m3_per_s;
    stream.months.iter().enumerate().find_map(|(i, month)| {
        let within = study
            .line
            .measured
            .gauged
            .iter()
            .filter(|g| of_year || g.month() == Some(i + 1));
        let most = within.max_by(|a, b| a.flow_m3_per_s.total_cmp(&b.flow_m3_per_s))?;
        beyond(month.flow_m3_per_s, most).then(|| Gauging::Over {
            given_m3_per_s: month.flow_m3_per_s,
            month: (!of_year).then_some(i + 1),
            flow_m3_per_s: most.flow_m3_per_s,
            flow_sd_m3_per_s: most.sd_m3_per_s,
            date: most.date.clone(),
        })
    })
}

/// Doubt that a measurement is allowed: 95 %.
const TWO_SD: f64 = 2.0;
