//! The stream as it was measured: the list `measured` of `stream`, and the figures of what was found.

use crate::finding::Gauging;
use crate::flow::StreamUse;
use crate::line::Line;
use crate::report::words::{method_word, note_word};
use serde_json::{Value, json};

/// Each measured day.
pub(super) fn measured(stream: &StreamUse, line: &Line) -> Vec<Value> {
    stream
        .days
        .iter()
        .filter_map(|d| Some((d, line.gauged.get(d.gauged)?)))
        .map(|(d, g)| {
            json!({
                "date": g.date, "method": method_word(g.method), "file": g.file, "readings": g.readings, "flow_m3_per_s": g.flow_m3_per_s, "flow_sd_m3_per_s": g.sd_m3_per_s,
                "notes": g.notes.iter().map(|n| note_word(*n)).collect::<Vec<_>>(),
                "feeds": d.feeds.and_then(|i| stream.takes.get(i)).map(|t| t.state.to_string()),
                "probability": d.feeds_all, "left_m3_per_s": d.left_m3_per_s,
            })
        })
        .collect()
}

/// The figures of a finding.
pub(super) fn found(found: &Gauging) -> Value {
    match found {
        Gauging::Short {
            case,
            date,
            flow_m3_per_s,
            flow_sd_m3_per_s,
            wanted_m3_per_s,
            left_m3_per_s,
            short_days,
            days,
            feeds,
        } => {
            json!({"case": case.to_string(), "date": date, "flow_m3_per_s": flow_m3_per_s, "flow_sd_m3_per_s": flow_sd_m3_per_s, "wanted_m3_per_s": wanted_m3_per_s, "left_m3_per_s": left_m3_per_s, "short_days": short_days, "days": days, "feeds": feeds.as_ref().map(ToString::to_string)})
        }
        Gauging::Doubtful {
            case,
            date,
            flow_m3_per_s,
            flow_sd_m3_per_s,
            wanted_m3_per_s,
            probability,
        } => {
            json!({"case": case.to_string(), "date": date, "flow_m3_per_s": flow_m3_per_s, "flow_sd_m3_per_s": flow_sd_m3_per_s, "wanted_m3_per_s": wanted_m3_per_s, "probability": probability})
        }
        Gauging::Over {
            given_m3_per_s,
            month,
            flow_m3_per_s,
            flow_sd_m3_per_s,
            date,
        } => {
            json!({"given_m3_per_s": given_m3_per_s, "month": month, "flow_m3_per_s": flow_m3_per_s, "flow_sd_m3_per_s": flow_sd_m3_per_s, "date": date})
        }
    }
}
