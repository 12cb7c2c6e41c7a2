//! Reaches that hardly fall.

use crate::finding::found::{Found, Severity};
use crate::finding::row::rows;
use crate::profile::Profile;
use serde::Serialize;

/// A reach that hardly falls.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct HardlyFalls {
    /// Fall, m per m.
    pub fall: f64,
    /// Its standard deviation.
    pub fall_sd: f64,
}

rows! { HardlyFalls;
    _ => "flat", "flat", "climbs", Power;
}

pub(in crate::finding) fn found(profile: &Profile) -> Vec<Found<HardlyFalls>> {
    let on = |flat: &crate::profile::Flat| {
        let what = HardlyFalls {
            fall: flat.fall,
            fall_sd: flat.fall_sd,
        };
        Found::new(
            Severity::Watch,
            what,
            flat.from_station_m,
            flat.to_station_m,
        )
    };
    profile.flats.iter().map(on).collect()
}
