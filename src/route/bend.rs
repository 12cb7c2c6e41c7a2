//! Bends that stand above their doubt.

use super::{Bend, Node};
use crate::heights::Heights;
use crate::numeric::math;
use crate::receiver::FORGETS_M;

/// A bend is told when it is this many times its standard deviation: of the thirty places of a straight line of 600 m, not one in fifty then shows a bend.
const SURE: f64 = 4.0;

/// Smaller deflections are no bends, rad: 5 degrees, what a joint or the pipe itself takes up.
const LEAST_RAD: f64 = 0.087;

/// Legs over which directions are compared, m.
const LEGS_M: [f64; 3] = [16.0, 32.0, 64.0];

/// Least level distance between two bends of a walk, m.
const APART_M: f64 = 15.0;

/// Most draws that the doubt of a profile bend is taken from.
const DRAWS: usize = 400;

/// Bends of a walked line, from directions over legs before and after each node.
///
/// `plan_sd_m`: doubt of the line in plan, by axis. The doubt of a deflection is that of the second difference of an error that forgets itself over 48 m.
pub(super) fn of_walk(nodes: &[Node], heights: &Heights, plan_sd_m: f64, drawn: bool) -> Vec<Bend> {
    let mut found: Vec<(f64, Bend)> = Vec::new();
    let length = nodes.last().map_or(0.0, |n| n.horizontal_m);
    for leg in LEGS_M {
        for (i, node) in nodes.iter().enumerate() {
            if node.horizontal_m < 1.5 * leg || node.horizontal_m > length - 1.5 * leg {
                continue;
            }
            let Some(bend) = bend_at(nodes, heights, i, leg, plan_sd_m, drawn) else {
                continue;
            };
            let clear = (bend.plan_rad / plan_doubt(plan_sd_m, leg, drawn)).abs();
            let clear = clear.max(bend.profile_rad.abs() / bend.sd_rad);
            found.push((clear, bend));
        }
    }
    found.sort_by(|a, b| {
        b.0.total_cmp(&a.0)
            .then(a.1.station_m.total_cmp(&b.1.station_m))
    });
    let mut kept: Vec<Bend> = Vec::new();
    for (_, bend) in found {
        let near = |other: &Bend| {
            (other.station_m - bend.station_m).abs() < APART_M.max(other.over_m).max(bend.over_m)
        };
        if !kept.iter().any(near) {
            kept.push(bend);
        }
    }
    kept.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    kept
}

/// Doubt of a deflection in plan over legs, rad.
fn plan_doubt(plan_sd_m: f64, leg: f64, drawn: bool) -> f64 {
    let kept = |d: f64| {
        if drawn {
            0.0
        } else {
            math::exp(-d / FORGETS_M)
        }
    };
    plan_sd_m
        * (6.0 - 8.0 * kept(leg) + 2.0 * kept(2.0 * leg))
            .max(0.0)
            .sqrt()
        / leg
}

fn bend_at(
    nodes: &[Node],
    heights: &Heights,
    i: usize,
    leg: f64,
    plan_sd_m: f64,
    drawn: bool,
) -> Option<Bend> {
    let node = nodes.get(i)?;
    let before = nodes.partition_point(|n| n.horizontal_m < node.horizontal_m - leg);
    let after = nodes
        .partition_point(|n| n.horizontal_m <= node.horizontal_m + leg)
        .checked_sub(1)?;
    if before >= i || after <= i {
        return None;
    }
    let (a, b, c) = (
        nodes.get(before)?.plan?,
        node.plan?,
        nodes.get(after)?.plan?,
    );
    let first = [b.east_m - a.east_m, b.north_m - a.north_m];
    let second = [c.east_m - b.east_m, c.north_m - b.north_m];
    let plan_rad = turn(first, second);
    let sd_plan = plan_doubt(plan_sd_m, leg, drawn);
    let (profile_rad, sd_profile) = profile_turn(heights, before, i, after)?;
    let plan_sure = plan_rad.abs() > LEAST_RAD.max(SURE * sd_plan);
    let profile_sure = profile_rad.abs() > LEAST_RAD.max(SURE * sd_profile);
    if !plan_sure && !profile_sure {
        return None;
    }
    let plan_rad = if plan_sure { plan_rad } else { 0.0 };
    let profile_rad = if profile_sure { profile_rad } else { 0.0 };
    Some(Bend {
        station_m: node.station_m,
        plan_rad,
        profile_rad,
        angle_rad: in_space(plan_rad, grade(heights, before, i), profile_rad),
        sd_rad: match (plan_sure, profile_sure) {
            (true, true) => math::hypot(sd_plan, sd_profile),
            (true, false) => sd_plan,
            _ => sd_profile,
        },
        over_m: leg,
    })
}

/// Signed angle from one direction to the next, rad, positive to the left.
fn turn(first: [f64; 2], second: [f64; 2]) -> f64 {
    let cross = first[0] * second[1] - first[1] * second[0];
    let dot = first[0] * second[0] + first[1] * second[1];
    math::atan2(cross, dot)
}

/// Slope of the mean line between two nodes, rad.
fn grade(heights: &Heights, from: usize, to: usize) -> f64 {
    slope(&heights.station_m, &heights.mean_m, from, to).unwrap_or(0.0)
}

fn slope(station_m: &[f64], height_m: &[f64], from: usize, to: usize) -> Option<f64> {
    let run = station_m.get(to)? - station_m.get(from)?;
    let rise = height_m.get(to)? - height_m.get(from)?;
    (run > 0.0).then(|| math::asin((rise / run).clamp(-1.0, 1.0)))
}

/// How far the profile turns at a node, rad, positive upward, and its doubt from the draws.
fn profile_turn(heights: &Heights, before: usize, at: usize, after: usize) -> Option<(f64, f64)> {
    let turned = |z: &[f64]| {
        let s = &heights.station_m;
        Some(slope(s, z, at, after)? - slope(s, z, before, at)?)
    };
    let mean = turned(&heights.mean_m)?;
    let step = heights.draws.len().div_ceil(DRAWS).max(1);
    let (mut count, mut sum) = (0.0, 0.0);
    for draw in heights.draws.iter().step_by(step) {
        let off = turned(draw)? - mean;
        count += 1.0;
        sum += off * off;
    }
    let sd = if count > 0.0 {
        (sum / count).sqrt()
    } else {
        0.0
    };
    Some((mean, sd))
}

/// Angle in space between two legs that differ by a turn in plan and a change of slope.
fn in_space(plan_rad: f64, slope_before: f64, profile_rad: f64) -> f64 {
    let slope_after = slope_before + profile_rad;
    let cos = math::cos(slope_before) * math::cos(slope_after) * math::cos(plan_rad)
        + math::sin(slope_before) * math::sin(slope_after);
    math::acos(cos.clamp(-1.0, 1.0))
}

/// Bends of a line of surveyed points: at each point with a leg on both sides.
///
/// `plan_sd_m`: doubt of a point in plan, by axis, where the points have one.
pub(super) fn of_points(nodes: &[Node], heights: &Heights, plan_sd_m: f64) -> Vec<Bend> {
    let mut out = Vec::new();
    for (i, legs) in nodes.windows(3).enumerate() {
        let [a, b, c] = legs else { continue };
        let (before, after) = (
            b.horizontal_m - a.horizontal_m,
            c.horizontal_m - b.horizontal_m,
        );
        let Some((profile_rad, sd_profile)) = profile_turn(heights, i, i + 1, i + 2) else {
            continue;
        };
        let (plan_rad, sd_plan) = match (a.plan, b.plan, c.plan) {
            (Some(pa), Some(pb), Some(pc)) if before > 0.0 && after > 0.0 => {
                let first = [pb.east_m - pa.east_m, pb.north_m - pa.north_m];
                let second = [pc.east_m - pb.east_m, pc.north_m - pb.north_m];
                let (u, v) = (1.0 / before, 1.0 / after);
                let doubt = plan_sd_m * (u * u + v * v + (u + v) * (u + v)).sqrt();
                (turn(first, second), doubt)
            }
            _ => (0.0, 0.0),
        };
        let plan_sure = plan_rad.abs() > LEAST_RAD.max(SURE * sd_plan);
        let profile_sure = profile_rad.abs() > LEAST_RAD.max(SURE * sd_profile);
        if !plan_sure && !profile_sure {
            continue;
        }
        let plan_rad = if plan_sure { plan_rad } else { 0.0 };
        let profile_rad = if profile_sure { profile_rad } else { 0.0 };
        out.push(Bend {
            station_m: b.station_m,
            plan_rad,
            profile_rad,
            angle_rad: in_space(plan_rad, grade(heights, i, i + 1), profile_rad),
            sd_rad: math::hypot(sd_plan, sd_profile),
            over_m: 0.0,
        });
    }
    out
}
