//! Lows that keep water when the line is drained.

use super::{Found, Severity, Study, rows};

rows! {
    /// A low without a drain.
    pub struct LowUndrained {
        /// Water that stays, m3.
        pub left_m3: f64,
        /// It can freeze.
        pub frost: bool,
    }
    _ => "low-without-drain", "low without drain", "filling", Plant;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<LowUndrained>> {
    let drains = study.air.iter().flat_map(|a| &a.drains);
    drains
        .filter(|d| d.stands.is_none() && d.left_standing_m3 > 0.0)
        .map(|d| {
            let what = LowUndrained {
                left_m3: d.left_standing_m3,
                frost: d.frost,
            };
            Found::at(Severity::Watch, what, d.station_m)
                .certainty(d.certainty)
                .on_memory(d.from_memory)
        })
        .collect()
}
