//! Bends that the pipe cannot follow, or may not.

use super::{Found, Severity, Study, rows};
use crate::finding::serial::degrees;
use crate::laying::BendMethod;

rows! {
    /// The route bends more sharply than the pipe may.
    pub struct BendTooSharp {
        /// Angle of the bend, rad.
        #[serde(rename = "angle_deg", serialize_with = "degrees")]
        pub angle_rad: f64,
        /// Largest radius that the place gives, m.
        pub radius_m: f64,
        /// Least radius of the pipe, m; `None`: it is not to be bent at all.
        #[serde(rename = "least_radius_m")]
        pub least_m: Option<f64>,
        /// The nearest elbow that is sold, rad.
        #[serde(rename = "elbow_deg", serialize_with = "degrees")]
        pub elbow_rad: f64,
        /// The joints there carry the thrust along the pipe: the elbow needs no block.
        pub restrained: bool,
    }
    _ => "bend-too-sharp", "bend too sharp", "bends", Plant;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<BendTooSharp>> {
    let restrained = |at: f64| {
        let reach = study.line.reaches.at(at);
        reach.is_some_and(crate::anchor::ground::is_restrained)
    };
    let bends = study.laying.iter().flat_map(|l| &l.bends);
    bends
        .filter_map(|b| {
            let BendMethod::Elbow(elbow_rad) = b.way else {
                return None;
            };
            let what = BendTooSharp {
                angle_rad: b.angle_rad,
                radius_m: b.radius_m,
                least_m: b.least_radius_m,
                elbow_rad,
                restrained: restrained(b.station_m),
            };
            let found = Found::at(Severity::Watch, what, b.station_m);
            Some(found.on_memory(b.how.is_unverified()))
        })
        .collect()
}
