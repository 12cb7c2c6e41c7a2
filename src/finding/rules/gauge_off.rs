//! Gauges that do not agree with the line. What could explain them all is told with the first.

use super::{Found, Severity, Study, rows};
use crate::finding::serial::sentence;
use crate::flow::{Explanation, NextReading};

rows! {
    /// A gauge does not agree with the survey.
    pub struct GaugeOff {
        /// Nothing flowed.
        pub shut: bool,
        /// Gauge less computed, m of water.
        #[serde(rename = "off_m")]
        pub by_m: f64,
        /// Its standard deviation, m.
        #[serde(rename = "off_sd_m")]
        pub sd_m: f64,
        /// The readings suffice to rank the causes.
        pub ranked: bool,
        /// What could explain all readings together; only with the first reading that is off.
        #[serde(rename = "explanations")]
        pub causes: Vec<Explanation>,
        /// What to read next.
        #[serde(rename = "next_reading", serialize_with = "sentence")]
        #[cfg_attr(test, schemars(with = "String"))]
        pub next: Option<NextReading>,
    }
    _ => "gauge-off", "gauge off", "gauges", Plant;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<GaugeOff>> {
    let Some(gauges) = &study.gauges else {
        return Vec::new();
    };
    let off = gauges.readings.iter().filter(|r| !r.agrees);
    off.filter_map(|r| Some((study.line.measured.gauges.get(r.gauge)?.station_m, r)))
        .enumerate()
        .map(|(i, (at, reading))| {
            let first = i == 0;
            let what = GaugeOff {
                shut: reading.shut,
                by_m: reading.off_m,
                sd_m: reading.off_sd_m,
                ranked: gauges.ranked,
                causes: if first {
                    gauges.explanations.clone()
                } else {
                    Vec::new()
                },
                next: gauges.next.clone().filter(|_| first),
            };
            Found::at(Severity::Watch, what, at)
        })
        .collect()
}
