//! Reaches that lie in one way, how warm they get and how they rise.

use crate::line::{Environment, Geometry, Line, Reach};
use crate::numeric::math;
use crate::pipe::{Bed, sun_wall_c};

/// Warmest and coldest that a pipe is in its life, C: drained in the sun, or filled with the coldest water.
pub(super) fn between_c(environment: &Environment, reach: &Reach, bed: Bed) -> (f64, f64) {
    let cold = environment.water.coldest_c;
    let hot = match bed {
        Bed::Buried => environment.water.warmest_c,
        _ if environment.situation.sun => {
            sun_wall_c(&reach.pipe, environment.situation.hottest_air_c).value
        }
        _ => environment
            .situation
            .hottest_air_c
            .max(environment.water.warmest_c),
    };
    (hot.max(cold), cold)
}

/// Stations between which one pipe lies in one way.
pub(super) fn parts(line: &Line) -> Vec<(f64, f64)> {
    let mut cuts: Vec<f64> = line
        .reaches
        .iter()
        .flat_map(|r| [r.from_m, r.to_m])
        .chain(
            line.environment
                .laid
                .iter()
                .flat_map(|l| [l.from_m, l.to_m]),
        )
        .map(|s| s.clamp(0.0, line.geometry.length_m()))
        .collect();
    cuts.sort_by(f64::total_cmp);
    cuts.dedup_by(|a, b| (*a - *b).abs() < 0.01);
    let pairs: Vec<(f64, f64)> = cuts
        .iter()
        .zip(cuts.iter().skip(1))
        .map(|(&a, &b)| (a, b))
        .collect();
    pairs
}

/// Rise of the pipe from station to station, rad; falling pipe is negative.
pub(super) fn rise_rad(geometry: &Geometry, from_m: f64, to_m: f64) -> f64 {
    let rise = geometry.elevation_m(to_m) - geometry.elevation_m(from_m);
    math::asin((rise / (to_m - from_m).max(1e-6)).clamp(-1.0, 1.0))
}
