//! The stream as it was measured: the list `measured` of `stream`.

use super::block::block;
use crate::flow::{StreamDay, StreamUse};
use crate::gauging::{Gauged, GaugingMethod, Note};
use crate::line::Measured;

block! {
    struct MeasuredJson of (d: &StreamDay, g: &Gauged, stream: &StreamUse) {
        /// Day of the measurement.
        date: String = g.date.clone(),
        /// Method of the measurement.
        method: GaugingMethod = g.method,
        /// Sheet of the readings.
        file: String = g.file.clone(),
        /// Number of readings.
        readings: usize = g.readings,
        /// Measured flow, m3/s.
        flow_m3_per_s: f64 = g.flow_m3_per_s,
        /// Its standard deviation, m3/s.
        flow_sd_m3_per_s: f64 = g.sd_m3_per_s,
        /// Remarks on its accuracy.
        notes: Vec<Note> = g.notes.clone(),
        /// Largest operating condition that it certainly supplies.
        feeds: Option<String> = d.feeds.and_then(|i| stream.takes.get(i)).map(|t| t.state.to_string()),
        /// Probability that it supplies the largest operating condition.
        probability: Option<f64> = d.feeds_all,
        /// Flow left in the stream by the largest operating condition (negative: not enough), m3/s.
        left_m3_per_s: Option<f64> = d.left_m3_per_s,
    }
}

/// Each measured day.
pub(super) fn measured(stream: &StreamUse, plant: &Measured) -> Vec<MeasuredJson> {
    stream
        .days
        .iter()
        .filter_map(|d| Some(MeasuredJson::of(d, plant.gauged.get(d.gauged)?, stream)))
        .collect()
}
