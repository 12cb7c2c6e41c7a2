//! Thrusts for the plan.

use super::bearing::bearing_deg;
use crate::anchor::{Anchor, Push, Sense, Towards};
use crate::drawing::{PlanPush, PushWay};
use crate::words::{Say, push_way};

/// Thrusts that push the same way from places nearer than this are drawn once, the largest, m.
const NEAR_M: f64 = 5.0;

/// Bearings that differ by less are the same way, degrees.
const SAME_DEG: f64 = 25.0;

/// Thrusts smaller than this share of the largest are left to the table.
const LEAST_SHARE: f64 = 0.03;

/// The thrusts whose direction is known and whose angle is above its doubt.
pub(super) fn pushes(anchor: &Anchor, say: Say) -> Vec<PlanPush> {
    let drawn = || {
        anchor
            .pushes
            .iter()
            .filter(|p| p.sense == Sense::Route && !p.doubtful)
    };
    let largest_n = drawn().map(|p| p.high_n).fold(0.0, f64::max);
    let mut kept: Vec<(&Push, PushWay)> = Vec::new();
    for push in drawn().filter(|p| p.high_n > LEAST_SHARE * largest_n && largest_n > 0.0) {
        let Some(way) = way(push, largest_n) else {
            continue;
        };
        match kept.iter_mut().find(|(other, _)| is_alike(other, push)) {
            Some(slot) if slot.0.high_n >= push.high_n => {}
            Some(slot) => *slot = (push, way),
            None => kept.push((push, way)),
        }
    }
    kept.into_iter()
        .map(|(p, way)| PlanPush {
            station_m: p.station_m,
            way,
            carried: p.restrained,
            label: say.force(p.high_n),
            name: format!(
                "{} at {} pushes {} with up to {}",
                p.at.word(),
                say.station(p.station_m),
                push_way(p.sense, &p.towards),
                say.force(p.high_n)
            ),
        })
        .collect()
}

fn way(push: &Push, largest_n: f64) -> Option<PushWay> {
    let upward = push
        .towards
        .first()
        .filter(|t| matches!(t, Towards::Up | Towards::Down));
    match (bearing_deg(push), upward) {
        // steeper than the way along the pipe: from above it is a point
        (_, Some(t)) if push.force.level() < STEEP_SHARE * push.size_n => Some(match t {
            Towards::Up => PushWay::Up,
            _ => PushWay::Down,
        }),
        (Some(deg), _) => {
            let to_build_for = push.high_n / push.size_n.max(1e-9);
            Some(PushWay::Level {
                bearing_rad: deg.to_radians(),
                share: push.force.level() * to_build_for / largest_n,
            })
        }
        (None, _) => None,
    }
}

/// Below this level share a thrust up or down is drawn as a point.
const STEEP_SHARE: f64 = 0.5;

fn is_alike(a: &Push, b: &Push) -> bool {
    let apart = match (bearing_deg(a), bearing_deg(b)) {
        (Some(a), Some(b)) => ((a - b + 540.0).rem_euclid(360.0) - 180.0).abs(),
        _ => 180.0,
    };
    (a.station_m - b.station_m).abs() < NEAR_M && apart < SAME_DEG && a.restrained == b.restrained
}
