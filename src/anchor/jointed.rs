//! Steel above the ground, parted by expansion joints between the places that hold it.

use super::Loads;
use super::ground::{SiteWater, is_restrained};
use super::penstock::{BendBlock, LONGEST_RUN_M, LengthChange, SteelShell};
use super::pieces::Jointed;
use super::reach_parts::{between_c, parts, rise_rad};
use super::supports::STEEL_ON_CONCRETE;
use super::thrust::Vector;
use crate::line::{Environment, Geometry, Line, Reach};
use crate::numeric::series::interpolate;
use crate::pipe::{
    Bed, MarkKind, Material, density_kg_per_m3, length_change_m, thermal_expansion_per_k,
};

/// Steel shorter than this between two places that hold it gets no joint, m: about one stick, which gives with its holds (common practice, no source).
pub const LEAST_RUN_M: f64 = 6.0;

/// The joint sits so far below the place that holds the upper end, m: clear of the block (common practice, no source).
const BELOW_HOLD_M: f64 = 1.0;

/// Whether a reach is steel in one piece, so that heat works on its whole length.
fn is_steel(reach: &Reach) -> bool {
    reach.pipe.material == Material::Steel && reach.pipe.is_sized() && is_restrained(reach)
}

/// All runs of a line, in order from the intake.
///
/// Held where the steel begins and ends, at each sure bend, and between them so that no run is longer than the trade parts straight steel. Each run is fixed at both ends, and its joint lets it grow.
pub(super) fn jointed(line: &Line, loads: &Loads) -> Vec<Jointed> {
    let mut open: Vec<(f64, f64)> = Vec::new();
    for (from_m, to_m) in parts(line) {
        let middle = 0.5 * (from_m + to_m);
        if line.environment.bed_at(middle) == Bed::Buried
            || !line.reaches.at(middle).is_some_and(is_steel)
        {
            continue;
        }
        match open.last_mut().filter(|o| (o.1 - from_m).abs() < 0.01) {
            Some(last) => last.1 = to_m,
            None => open.push((from_m, to_m)),
        }
    }
    let mut out = Vec::new();
    for (from_m, to_m) in open {
        let mut held = vec![from_m];
        let sure = |b: &&crate::route::Bend| b.angle_rad > 2.0 * b.sd_rad;
        for bend in line.geometry.bends.iter().filter(sure) {
            let at = bend.station_m;
            let last = held.last().copied().unwrap_or(from_m);
            if at - last >= LEAST_RUN_M && to_m - at >= LEAST_RUN_M {
                held.push(at);
            }
        }
        held.push(to_m);
        for (a, b) in held.iter().zip(held.iter().skip(1)) {
            out.extend(between(line, loads, *a, *b));
        }
    }
    out
}

/// The runs between two bends or ends: as many as keep each within the longest.
fn between(line: &Line, loads: &Loads, from_m: f64, to_m: f64) -> Vec<Jointed> {
    let length = to_m - from_m;
    if length < LEAST_RUN_M {
        return Vec::new();
    }
    let count = (length / LONGEST_RUN_M - 1e-9).ceil().max(1.0);
    let mut out = Vec::new();
    let mut k = 0.0;
    while k < count {
        let a = from_m + length * k / count;
        let b = from_m + length * (k + 1.0) / count;
        k += 1.0;
        out.extend(run(line, loads, (a, b), k < count));
    }
    out
}

fn run(line: &Line, loads: &Loads, (from_m, to_m): (f64, f64), between: bool) -> Option<Jointed> {
    let reach = line.reaches.at(0.5 * (from_m + to_m))?;
    let pipe = &reach.pipe;
    let (hot_c, cold_c) = between_c(&line.environment, reach, Bed::Surface);
    let rises = line.geometry.elevation_m(to_m) > line.geometry.elevation_m(from_m);
    let joint_m = if rises {
        to_m - BELOW_HOLD_M
    } else {
        from_m + BELOW_HOLD_M
    };
    let shell = shell(&line.environment, reach);
    let pressure_pa = largest_pa(&line.geometry, loads, joint_m);
    let head_m = pressure_pa / shell.water_n_per_m3;
    let joint_friction_n = shell.joint_friction_n();
    // An anchor on the straight: the run that hangs on it, its piers, and the joint at the run's other end; what presses on both sides of it is equal and falls away.
    let along_n = || {
        let slope = -rise_rad(&line.geometry, from_m, to_m);
        let straight = BendBlock {
            shell,
            head_m,
            flow_m3_per_s: 0.0,
            above_rad: slope,
            below_rad: slope,
            rests_m: 0.0,
            slides_m: to_m - from_m,
            pier_friction: STEEL_ON_CONCRETE.1,
            hangs_m: to_m - from_m,
            joint_friction_n,
        };
        [LengthChange::Warming, LengthChange::Cooling]
            .map(|c| {
                straight
                    .forces_n(c)
                    .dot(Vector::direction(0.0, -slope))
                    .abs()
            })
            .into_iter()
            .fold(0.0, f64::max)
    };
    let stands = line.stands.iter().position(|s| {
        s.kind == MarkKind::ExpansionJoint
            && line.reaches.counts(s)
            && (from_m..=to_m).contains(&s.station_m)
    });
    Some(Jointed {
        from_m,
        to_m,
        joint_m,
        moves_m: length_change_m(
            thermal_expansion_per_k(pipe).value,
            to_m - from_m,
            hot_c - cold_c,
        ),
        joint_friction_n,
        joint_end_n: shell.joint_end_n(head_m),
        anchor: between.then(|| (to_m, along_n())),
        stands,
    })
}

/// The steel pipe of a reach.
pub(super) fn shell(environment: &Environment, reach: &Reach) -> SteelShell {
    let water = SiteWater::of(environment);
    SteelShell {
        bore_m: reach.pipe.inner_diameter_m,
        wall_m: reach.pipe.wall_m,
        steel_n_per_m3: density_kg_per_m3(&reach.pipe).value * water.gravity_m_per_s2,
        water_n_per_m3: water.density_kg_per_m3 * water.gravity_m_per_s2,
    }
}

/// Largest pressure at a station in service or in the test, Pa.
pub(super) fn largest_pa(geometry: &Geometry, loads: &Loads, station_m: f64) -> f64 {
    let at = |values: &[f64]| interpolate(&geometry.heights.station_m, values, station_m);
    let test = if loads.test_pa.is_empty() {
        0.0
    } else {
        at(&loads.test_pa)
    };
    at(&loads.largest_pa).max(test).max(0.0)
}
