use crate::finding::{Finding, Gauging, Kind, Severity};
use crate::flow::{SURELY, StreamUse};
use crate::gauging::Gauged;
use crate::study::Study;

/// The days on which the stream was measured: against what the states take, and against the flow that was given.
pub fn days(study: &Study) -> Vec<Finding> {
    let Some(stream) = &study.stream else {
        return Vec::new();
    };
    let found = |severity, what, certainty| {
        Finding::new(severity, Kind::Gauging(what), 0.0, 0.0).certainty(certainty)
    };
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
    let gauged = study.line.gauged.get(day.gauged)?;
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
