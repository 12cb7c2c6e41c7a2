//! Reaches that hardly fall.

use super::{Found, Severity, rows};
use crate::profile::Profile;

rows! {
    /// A reach that hardly falls.
    pub struct HardlyFalls {
        /// Fall, m per m.
        pub fall: f64,
        /// Its standard deviation.
        pub fall_sd: f64,
    }
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
