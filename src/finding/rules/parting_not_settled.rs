//! Movements in which the water stays whole by the mean heights on a usual day, and would part two standard deviations lower in bad weather.

use super::{Found, Severity, Study, rows};
use crate::line::AirFor;
use crate::unit::physics::water;

rows! { of subject |of| &of.movement;
    /// The survey cannot tell whether the water parts in a movement.
    pub struct PartingNotSettled {
        /// The movement.
        pub movement: String,
        /// Shortest safe time, s.
        pub safe_s: Option<f64>,
    }
    _ => "parting-not-settled", "parting not settled", "surge", People;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<PartingNotSettled>> {
    let Some(strength) = &study.strength else {
        return Vec::new();
    };
    let line = &study.line;
    let doubt_pa = &strength.limits.doubt_pa;
    let boils_pa = water(line.environment.water.warmest_c).vapour_pa
        - line.environment.situation.air_pa(AirFor::Hanging);
    let weather_pa = line.environment.situation.weather_pa();
    let weighed = study.surges.iter().flat_map(|s| s.weighed());
    weighed
        .filter(|s| s.vapour.is_none())
        .filter_map(|surge| {
            let low: Vec<f64> = surge
                .points
                .iter()
                .zip(doubt_pa)
                .filter(|(p, doubt)| {
                    p.pressure_min_pa
                        .is_some_and(|pa| pa - **doubt < boils_pa + weather_pa)
                })
                .map(|(p, _)| p.station_m)
                .collect();
            let what = PartingNotSettled {
                movement: surge.movement.clone(),
                safe_s: surge.shortest_safe_s,
            };
            Some(Found::new(
                Severity::Watch,
                what,
                *low.first()?,
                *low.last()?,
            ))
        })
        .collect()
}
