//! The stream as it was measured: the list `measured` of `stream`.

use crate::flow::StreamUse;
use crate::line::Measured;
use crate::report::words::{method_word, note_word};
use serde_json::{Value, json};

/// Each measured day.
pub(super) fn measured(stream: &StreamUse, measured: &Measured) -> Vec<Value> {
    stream
        .days
        .iter()
        .filter_map(|d| Some((d, measured.gauged.get(d.gauged)?)))
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
