//! Plain limits for the rooms that look for a safe time.

use super::field::{fittings_of, on_grid};
use super::load::head_sd_m;
use super::result::PressureLimits;
use crate::capacity::{
    LoadKind, Setting, full_vacuum_pa, heaviest_n_per_m3, joint_suction_pa, may, ring,
};
use crate::line::Line;
use crate::unit::DOUBT_SDS;

/// What the line may take at each station of the grid, for the rooms that look for a safe time: the doubt of the head (2 sd) is taken off the largest pressures already, and stands beside the least.
///
/// The weaker of pipe, joint and (at its station) fitting; where two pipes meet, the weaker. A wall too warm for its tables is left to `judge`.
pub fn limits(line: &Line) -> PressureLimits {
    let (geometry, reaches, environment) = (&line.geometry, &line.reaches, &line.environment);
    let weight = heaviest_n_per_m3(environment);
    let doubt: Vec<f64> = head_sd_m(geometry)
        .iter()
        .map(|sd| DOUBT_SDS * sd * weight)
        .collect();
    let largest = |kind| {
        on_grid(
            geometry,
            reaches,
            |r, s| {
                let pipe = may(
                    environment,
                    r,
                    Setting {
                        kind,
                        in_sun: false,
                    },
                )?
                .ok()?
                .pa;
                let fittings = fittings_of(reaches, &line.fittings, r)
                    .filter(|f| (f.station_m - s).abs() < 1e-6)
                    .filter_map(|f| f.rating_pa);
                Some(fittings.fold(pipe, f64::min))
            },
            f64::min,
        )
        .into_iter()
        .zip(&doubt)
        .map(|(pa, doubt)| pa.map_or(f64::INFINITY, |pa| pa - doubt))
        .collect()
    };
    let vacuum = full_vacuum_pa(environment);
    let least = on_grid(
        geometry,
        reaches,
        |r, s| {
            let dip = Setting {
                kind: LoadKind::SurgeRoutine,
                in_sun: false,
            };
            let by_joint = joint_suction_pa(&line.wishes, environment, r)
                .map_or(f64::NEG_INFINITY, |(pa, _)| pa);
            Some(
                (-ring(environment, r, dip, s).allowed_pa)
                    .max(by_joint)
                    .max(-vacuum),
            )
        },
        f64::max,
    );
    PressureLimits {
        lasting_pa: largest(LoadKind::Standing),
        routine_pa: largest(LoadKind::SurgeRoutine),
        rare_pa: largest(LoadKind::SurgeRare),
        least_pa: least.into_iter().map(|pa| pa.unwrap_or(-vacuum)).collect(),
        doubt_pa: doubt,
    }
}
