//! Pipe in a flood: lift, drag, straps, ballast.

use super::Flooded;
use super::ground::{SiteWater, empty_n_per_m, full_n_per_m};
use crate::line::{Appurtenance, Flood, Line, Reach, Reaches};
use crate::numeric::math;
use crate::pipe::{Bed, Debris, MarkKind, Pipe};

/// Drag coefficient of a pipe across a stream (from memory).
pub const DRAG: f64 = 1.2;

/// Safety of straps (own caution: a flood is never measured beforehand).
pub const SAFETY: f64 = 2.0;

/// What straps on rock or driven anchors may be counted on for, N, from a light one to a bolted saddle (own caution, no source).
const STRAPS_N: [f64; 4] = [1_500.0, 3_000.0, 5_000.0, 10_000.0];

/// Straps nearer together than this are not set: a stronger one is, m.
const NEAREST_M: f64 = 3.0;

/// Weight of concrete, kg/m3, for ballast.
pub const CONCRETE_KG_PER_M3: f64 = 2_400.0;

/// Safety of ballast against lift (common practice, no source).
pub const BALLAST_SAFETY: f64 = 1.25;

/// Drained pipe under water, N/m: `pi/4 OD2 rho g - pipe - contents`; `share` of its section is under water.
fn displaced_n_per_m(pipe: &Pipe, water: SiteWater, share: f64) -> f64 {
    pipe.outer_area_m2() * share * water.density_kg_per_m3 * water.gravity_m_per_s2
}

/// Lift of an empty pipe under water, N/m, positive up.
pub fn lift_empty_n_per_m(pipe: &Pipe, water: SiteWater) -> f64 {
    displaced_n_per_m(pipe, water, 1.0) - empty_n_per_m(pipe, water.gravity_m_per_s2)
}

/// Lift of a full pipe under water, N/m: polyethylene floats even full.
pub fn lift_full_n_per_m(pipe: &Pipe, water: SiteWater) -> f64 {
    displaced_n_per_m(pipe, water, 1.0) - full_n_per_m(pipe, water)
}

/// Drag of a stream on what stands across it, N/m: `rho/2 c h v2`.
///
/// Source: drag of a cylinder, coefficient [`DRAG`] from memory. `height_m` is the pipe, or the raft of debris that hangs on it.
pub fn drag_n_per_m(across: StreamCrossing) -> f64 {
    0.5 * across.density_kg_per_m3 * DRAG * across.height_m * math::powi(across.speed_m_per_s, 2)
}

/// A stream across a pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StreamCrossing {
    /// Density, kg/m3.
    pub density_kg_per_m3: f64,
    /// Height that stands against it, m.
    pub height_m: f64,
    /// Speed, m/s.
    pub speed_m_per_s: f64,
}

/// Greatest distance of straps of a strength, m, for a pull a metre.
pub fn strap_spacing_m(strength_n: f64, pull_n_per_m: f64) -> f64 {
    strength_n / (SAFETY * pull_n_per_m)
}

/// Concrete, weighed in air, that keeps a lift down under water, kg/m: `s Fb / (1 - rho_w/rho_c) / g`.
pub fn ballast_kg_per_m(lift_n_per_m: f64, water: SiteWater) -> f64 {
    BALLAST_SAFETY * lift_n_per_m.max(0.0)
        / (1.0 - water.density_kg_per_m3 / CONCRETE_KG_PER_M3)
        / water.gravity_m_per_s2
}

/// Height of the raft that debris makes on the pipe, m, never more than the water is deep (own caution, no source).
fn raft_m(debris: Debris) -> f64 {
    match debris {
        Debris::None => 0.0,
        Debris::Light => 0.3,
        Debris::Heavy => 1.0,
    }
}

/// Share of a circle under water of a depth.
fn wet_share(depth_over_diameter: f64) -> f64 {
    let d = depth_over_diameter.clamp(0.0, 1.0);
    let half = math::acos(1.0 - 2.0 * d);
    (half - math::sin(half) * math::cos(half)) / std::f64::consts::PI
}

/// Each flood over each pipe it meets.
pub(super) fn floods(line: &Line) -> Vec<Flooded> {
    let over = |flood: &Flood, reach: &Reach| {
        let from = flood.from_m.max(reach.from_m);
        let to = flood.to_m.min(reach.to_m);
        (to > from).then_some((from, to))
    };
    line.environment
        .floods
        .iter()
        .flat_map(|f| {
            line.reaches
                .iter()
                .filter_map(move |r| over(f, r).map(|(a, b)| flooded(line, f, r, (a, b))))
        })
        .collect()
}

fn flooded(line: &Line, flood: &Flood, reach: &Reach, (from_m, to_m): (f64, f64)) -> Flooded {
    let (pipe, water) = (&reach.pipe, SiteWater::of(&line.environment));
    let wet = wet_share(flood.depth_m / pipe.outer_diameter_m);
    let displaced = displaced_n_per_m(pipe, water, wet);
    let lift_empty = displaced - empty_n_per_m(pipe, water.gravity_m_per_s2);
    let lift_full = displaced - full_n_per_m(pipe, water);
    let clear_m = pipe.outer_diameter_m.min(flood.depth_m);
    let against_m = pipe
        .outer_diameter_m
        .max(raft_m(flood.debris))
        .min(flood.depth_m);
    let drag = |height_m: f64, speed_m_per_s: f64| {
        drag_n_per_m(StreamCrossing {
            density_kg_per_m3: SiteWater::of(&line.environment).density_kg_per_m3,
            height_m,
            speed_m_per_s,
        })
    };
    let drag_n = drag(against_m, flood.speed_m_per_s);
    let pull = math::hypot(lift_empty.max(0.0), drag_n);
    let straps = straps(&line.reaches, &line.stands, from_m, to_m);
    let standing: Vec<(usize, Option<f64>)> = straps
        .iter()
        .map(|&(i, strength, carries)| {
            let load = (pull * carries).max(1.0);
            (i, strength.map(|s| s / (SAFETY * load)))
        })
        .collect();
    let holds_speed_m_per_s = straps
        .iter()
        .map(|&(_, strength, carries)| {
            let can = strength? / (SAFETY * carries.max(0.1));
            let for_drag = (can * can - math::powi(lift_empty.max(0.0), 2))
                .max(0.0)
                .sqrt();
            Some((for_drag / drag(against_m, 1.0).max(1e-9)).sqrt())
        })
        .collect::<Option<Vec<f64>>>()
        .and_then(|all| all.into_iter().reduce(f64::min));
    let far_enough = |&&strength: &&f64| strap_spacing_m(strength, pull.max(1e-9)) >= NEAREST_M;
    let strength = STRAPS_N
        .iter()
        .find(far_enough)
        .or(STRAPS_N.last())
        .copied()
        .unwrap_or_default();
    let spacing_m = strap_spacing_m(strength, pull.max(1e-9)).min(to_m - from_m);
    Flooded {
        from_m,
        to_m,
        lift_empty_n_per_m: lift_empty,
        lift_full_n_per_m: lift_full,
        drag_clear_n_per_m: drag(clear_m, flood.speed_m_per_s),
        drag_n_per_m: drag_n,
        pull_n_per_m: pull,
        safety: SAFETY,
        spacing_m,
        strap_n: SAFETY * pull * spacing_m,
        standing,
        holds_speed_m_per_s,
        ballast_kg_per_m: ballast_kg_per_m(lift_empty, water),
        buried: line.environment.bed_at(0.5 * (from_m + to_m)) == Bed::Buried,
        from_memory: true,
    }
}

/// Straps that stand in a flood: index, strength, and the length of pipe that each carries: half-way to its neighbours, to the end of the flood at the outer ones.
fn straps(
    reaches: &Reaches,
    stands: &[Appurtenance],
    from_m: f64,
    to_m: f64,
) -> Vec<(usize, Option<f64>, f64)> {
    let inside: Vec<(usize, f64, Option<f64>)> = stands
        .iter()
        .enumerate()
        .filter(|(_, s)| {
            matches!(s.kind, MarkKind::Strap | MarkKind::Anchor)
                && reaches.counts(s)
                && (from_m..=to_m).contains(&s.station_m)
        })
        .map(|(i, s)| (i, s.station_m, s.strength_n))
        .collect();
    inside
        .iter()
        .enumerate()
        .map(|(k, &(i, at, strength))| {
            let before = k.checked_sub(1).and_then(|p| inside.get(p));
            let low = before.map_or(from_m, |b| 0.5 * (b.1 + at));
            let high = inside.get(k + 1).map_or(to_m, |n| 0.5 * (n.1 + at));
            (i, strength, high - low)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_a_circle_is_wet_at_half_depth() {
        assert!((wet_share(0.5) - 0.5).abs() < 1e-12);
        assert_eq!(wet_share(2.0), 1.0);
        assert_eq!(wet_share(0.0), 0.0);
    }
}
