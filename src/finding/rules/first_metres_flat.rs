//! A pipe that hardly falls behind its mouth.

use super::{Found, Severity, Study, rows};

rows! {
    /// The pipe hardly falls in its first metres: what is drawn in with the water stays there.
    pub struct FirstMetresFlat {
        /// Where it has fallen by a bore, m.
        #[serde(rename = "first_to_m")]
        pub to_m: f64,
        /// Lowest gauge head in them at the largest flow, m.
        pub least_gauge_m: f64,
    }
    _ => "first-metres-flat", "first metres flat", "intake", Power;
}

/// The first metres are flat where it takes so many bores of pipe to fall by one: less than 1 in 100 (our judgement).
const FLAT_BORES: f64 = 100.0;

pub(in crate::finding) fn found(study: &Study) -> Option<Found<FirstMetresFlat>> {
    let first = &study.intake.as_ref()?.first;
    let line = &study.line;
    let bore_m = (line.reaches.first()).map_or(f64::INFINITY, |r| r.pipe.inner_diameter_m);
    let mouth_m = line.geometry.elevation_m(0.0);
    let heights = line
        .geometry
        .heights
        .mean_m
        .iter()
        .zip(&line.geometry.heights.station_m);
    let falls = heights
        .take_while(|(_, s)| **s <= first.to_m)
        .all(|(z, _)| z - mouth_m <= 0.5 * bore_m);
    let what = FirstMetresFlat {
        to_m: first.to_m,
        least_gauge_m: first.least_gauge_m,
    };
    (falls && first.to_m > FLAT_BORES * bore_m)
        .then(|| Found::new(Severity::Watch, what, 0.0, first.to_m))
}
