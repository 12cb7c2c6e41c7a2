//! Bends whose angle the survey does not know well enough.

use super::{Found, Severity, Study, rows};
use crate::finding::serial::degrees;
use crate::laying::BendMethod;

rows! {
    /// A bend whose angle the survey does not know well enough to tell whether the pipe follows.
    pub struct BendNotSettled {
        /// Angle, rad.
        #[serde(rename = "angle_deg", serialize_with = "degrees")]
        pub angle_rad: f64,
        /// Its standard deviation, rad.
        #[serde(rename = "angle_sd_deg", serialize_with = "degrees")]
        pub sd_rad: f64,
    }
    _ => "bend-not-settled", "bend not settled", "bends", Plant;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<BendNotSettled>> {
    let bends = study.laying.iter().flat_map(|l| &l.bends);
    bends
        .filter(|b| matches!(b.way, BendMethod::CannotTell))
        .map(|b| {
            let what = BendNotSettled {
                angle_rad: b.angle_rad,
                sd_rad: b.sd_rad,
            };
            Found::at(Severity::Watch, what, b.station_m).on_memory(b.how.is_unverified())
        })
        .collect()
}
