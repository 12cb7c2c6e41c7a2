//! Bends that the pipe follows by itself: what pushes is spread along the arc, against the ground, the pipe and its joints.

use super::block::SAFETY;
use super::friction::FRICTION_THAT_HELPS;
use super::ground::{SiteWater, depth_m, full_n_per_m, is_restrained};
use super::maker::Maker;
use super::pieces::Curve;
use super::soil::ground;
use super::thrust::Vector;
use super::{Push, Sense, ThrustSource};
use crate::capacity::{BendCheck, BendMethod, bends};
use crate::line::{Appurtenance, Environment, Geometry, Reach, Reaches};
use crate::pipe::{Bed, Joint, MarkKind, RING_JOINT_RAD, Soil};
use crate::route::Bend;
use crate::unit::Limit;

/// From this radius over the outside diameter on, a bend is a curve of the pipe and not an elbow: sold elbows and made bends have 1 to 5, the tightest that any table lets plain pipe be bent to is 20.
pub const CURVE_RATIO: f64 = 20.0;

/// Weight of ground on a buried pipe, N/m3 (common practice, no source: loose and dry, for it must help).
const COVER_N_PER_M3: f64 = 16e3;

/// Force of the water on a metre of a curve, N/m, outward: `(p A + rho Q V) / R`.
///
/// `push_n`: p A + rho Q V, N; `radius_m`: of the pipe's axis, m, above 0. Source: momentum of steady flow on an arc, the hoop formula (any text of mechanics); over the whole arc it sums to the
/// elbow's `2 (p A + rho Q V) sin(angle/2)` (AWWA M11; ASCE Manual 79). Valid where the arc is long against the bore.
pub fn on_curve_n_per_m(push_n: f64, radius_m: f64) -> f64 {
    push_n / radius_m
}

impl Curve {
    /// What nothing holds, N/m.
    pub fn lacks_n_per_m(&self) -> f64 {
        if self.restrained || Limit::AtLeast.holds(self.holds_n_per_m, self.push_n_per_m) {
            0.0
        } else {
            self.push_n_per_m - self.holds_n_per_m
        }
    }
}

/// The curves of a line, and the thrusts of what holds none of them; `None` beside a bend that is an elbow.
pub(super) struct Curved {
    pub(super) curves: Vec<Curve>,
    pub(super) pushes: Vec<Push>,
    /// Stations of the bends that are curves, m.
    pub(super) stations_m: Vec<f64>,
}

pub(super) fn curved(make: &Maker<'_>) -> Curved {
    let line = make.line;
    let mut out = Curved {
        curves: Vec::new(),
        pushes: Vec::new(),
        stations_m: Vec::new(),
    };
    for check in bends(line) {
        let Some(bend) = line
            .geometry
            .bends
            .iter()
            .find(|b| b.station_m == check.station_m && b.angle_rad == check.angle_rad)
        else {
            continue;
        };
        let Some(reach) = line.reaches.at(bend.station_m) else {
            continue;
        };
        let Some((radius_m, arc_m)) = arc(&line.environment, reach, bend, &check) else {
            continue;
        };
        out.stations_m.push(bend.station_m);
        let curve = curve(make, reach, bend, &check, (radius_m, arc_m));
        out.pushes.extend(unheld(make, reach, bend, &curve));
        out.curves.push(curve);
    }
    // one joint beside several curves is pulled at by the strongest
    out.pushes.sort_by(|a, b| {
        a.station_m
            .total_cmp(&b.station_m)
            .then(b.size_n.total_cmp(&a.size_n))
    });
    out.pushes.dedup_by(|b, a| {
        matches!((&a.at, &b.at), (ThrustSource::Joint, ThrustSource::Joint))
            && (a.station_m - b.station_m).abs() < 0.1
    });
    out
}

/// Radius and length of the arc in which the pipe lies, m; `None` where it does not follow by itself, the bend is tighter than a curve, or its angle is in doubt.
fn arc(
    environment: &Environment,
    reach: &Reach,
    bend: &Bend,
    check: &BendCheck,
) -> Option<(f64, f64)> {
    if bend.angle_rad <= 2.0 * bend.sd_rad || bend.angle_rad <= 0.0 {
        return None;
    }
    let (radius_m, arc_m) = match check.way {
        BendMethod::Pipe if bend.over_m > 0.0 => (bend.over_m / bend.angle_rad, bend.over_m),
        BendMethod::Pipe => (check.radius_m, check.radius_m * bend.angle_rad),
        BendMethod::Joints(count) => {
            let arc_m = count as f64 * environment.piece_length(reach).usable_m;
            (arc_m / bend.angle_rad, arc_m)
        }
        BendMethod::Elbow(_) | BendMethod::Stands(_) | BendMethod::CannotTell => return None,
    };
    (radius_m >= CURVE_RATIO * reach.pipe.outer_diameter_m).then_some((radius_m, arc_m))
}

fn curve(
    make: &Maker<'_>,
    reach: &Reach,
    bend: &Bend,
    check: &BendCheck,
    (radius_m, arc_m): (f64, f64),
) -> Curve {
    let line = make.line;
    let environment = &line.environment;
    let section = make.section(reach, bend.station_m);
    let (from_m, to_m) = (
        (bend.station_m - 0.5 * arc_m).max(0.0),
        (bend.station_m + 0.5 * arc_m).min(line.geometry.length_m()),
    );
    let tight_m = radius_m * bend.angle_rad / (bend.angle_rad + 2.0 * bend.sd_rad);
    let push_n_per_m = on_curve_n_per_m(section.push_n(), tight_m);
    let outward = make.on_bend(bend, section);
    let holds_n_per_m = holds_n_per_m(environment, reach, bend.station_m, outward)
        + stands_n_per_m(&line.reaches, &line.stands, from_m, to_m);
    let share = (1.0 - holds_n_per_m / push_n_per_m.max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
    Curve {
        from_m,
        to_m,
        radius_m,
        angle_rad: bend.angle_rad,
        pressure_pa: section.pressure_pa,
        by: make.state_at(bend.station_m),
        push_n_per_m,
        holds_n_per_m,
        restrained: is_restrained(reach),
        pull_n: in_one_piece(environment, reach, check, from_m, to_m)
            .then(|| share * section.push_n()),
    }
}

/// What the ground holds of a push across the pipe, N/m, safety counted: bearing or friction level, weight against what lifts, bearing below.
fn holds_n_per_m(environment: &Environment, reach: &Reach, station_m: f64, outward: Vector) -> f64 {
    let size = outward.size().max(f64::MIN_POSITIVE);
    let up = outward.z / size;
    let full = full_n_per_m(&reach.pipe, SiteWater::of(environment));
    let wide = reach.pipe.outer_diameter_m;
    let buried = environment.bed_at(station_m) == Bed::Buried;
    let soil = ground(
        environment.soil_at(station_m).unwrap_or(Soil::SoftClay),
        depth_m(environment, Some(reach), station_m),
    );
    let holds = if up > LIFTS {
        let cover_m = (depth_m(environment, Some(reach), station_m) - 0.5 * wide).max(0.0);
        full + if buried {
            COVER_N_PER_M3 * cover_m * wide
        } else {
            0.0
        }
    } else if up < -LIFTS {
        soil.downward_pa * wide
    } else if buried {
        soil.sideways_pa * wide
    } else {
        environment
            .friction_at(station_m)
            .unwrap_or(FRICTION_THAT_HELPS)
            * full
    };
    holds / SAFETY
}

/// A push whose upward share is larger than this lifts the pipe or presses it down.
const LIFTS: f64 = 0.5;

/// What stands in the arc and holds across the pipe, N/m; without end where its strength was not given.
fn stands_n_per_m(reaches: &Reaches, stands: &[Appurtenance], from_m: f64, to_m: f64) -> f64 {
    let across = |kind| matches!(kind, MarkKind::Block | MarkKind::Strap | MarkKind::Guide);
    stands
        .iter()
        .filter(|s| {
            across(s.kind)
                && reaches.counts(s)
                && (from_m - 0.5..=to_m + 0.5).contains(&s.station_m)
        })
        .map(|s| s.strength_n.unwrap_or(f64::INFINITY) / (to_m - from_m).max(f64::MIN_POSITIVE))
        .sum()
}

/// Whether no joint stands in an arc. Where the joints of pipe that lies are not known it is taken as one length, but for sticks with rings; of pipe that is planned, where joints are kept out of the bend.
fn in_one_piece(
    environment: &Environment,
    reach: &Reach,
    check: &BendCheck,
    from_m: f64,
    to_m: f64,
) -> bool {
    if from_m < reach.from_m || to_m > reach.to_m {
        return false;
    }
    if reach.is_laid {
        let known = !reach.joints_at_m.is_empty();
        let inside = reach
            .joints_at_m
            .iter()
            .any(|j| (from_m..=to_m).contains(j));
        return !inside && (known || !matches!(reach.joint, Joint::Ring | Joint::RepairCoupling));
    }
    !check.bears_joint && to_m - from_m <= environment.piece_length(reach).usable_m
}

/// What of a curve nothing holds: along the pipe at the joints beside it where it is one piece, else across it, piece by piece.
fn unheld(make: &Maker<'_>, reach: &Reach, bend: &Bend, curve: &Curve) -> Vec<Push> {
    if curve.lacks_n_per_m() <= 0.0 {
        return Vec::new();
    }
    match curve.pull_n {
        Some(pull_n) => joints_beside(&make.line.geometry, reach, curve)
            .into_iter()
            .filter_map(|(station_m, away_m, downhill)| {
                let left_n =
                    pull_n - away_m * along_n_per_m(&make.line.environment, reach, station_m);
                (left_n > 0.0).then(|| {
                    let along = make.along(station_m) * if downhill { left_n } else { -left_n };
                    Push {
                        pressure_pa: curve.pressure_pa,
                        by: curve.by.clone(),
                        ..make.push(ThrustSource::Joint, station_m, reach, along)
                    }
                })
            })
            .collect(),
        None => {
            let section = make.section(reach, bend.station_m);
            let outward = make.on_bend(bend, section);
            let unit = outward * (1.0 / outward.size().max(f64::MIN_POSITIVE));
            let piece_m = match reach.joint {
                // each joint turns by two degrees at most: between two of them the pipe is straight
                Joint::Ring => (curve.radius_m * RING_JOINT_RAD)
                    .min(make.line.environment.piece_length(reach).usable_m),
                _ => LONGEST_HELD_M,
            };
            let arc_m = curve.to_m - curve.from_m;
            let count = (arc_m / piece_m.max(1.0) - 1e-9).ceil().max(1.0);
            let mut out = Vec::new();
            let mut k = 0.0;
            while k < count {
                let station_m = curve.from_m + arc_m * (k + 0.5) / count;
                k += 1.0;
                out.push(Push {
                    angle_rad: bend.angle_rad / count,
                    angle_sd_rad: bend.sd_rad / count,
                    sense: Sense::Route,
                    pressure_pa: curve.pressure_pa,
                    by: curve.by.clone(),
                    ..make.push(
                        ThrustSource::Curve,
                        station_m,
                        reach,
                        unit * (curve.lacks_n_per_m() * arc_m / count),
                    )
                });
            }
            out
        }
    }
}

/// Holds across a curve are no further apart than this, m (common practice, no source).
const LONGEST_HELD_M: f64 = 6.0;

/// Friction of the full pipe along itself, N/m, safety counted.
fn along_n_per_m(environment: &Environment, reach: &Reach, station_m: f64) -> f64 {
    environment
        .friction_at(station_m)
        .unwrap_or(FRICTION_THAT_HELPS)
        * full_n_per_m(&reach.pipe, SiteWater::of(environment))
        / SAFETY
}

/// The joints on either side of a curve in one piece: station, how far from the arc, and whether the pipe beyond is pulled downhill by the curve above it. The ends of the line are joints too; the turbine's is judged by itself.
fn joints_beside(geometry: &Geometry, reach: &Reach, curve: &Curve) -> Vec<(f64, f64, bool)> {
    let above = reach
        .joints_at_m
        .iter()
        .copied()
        .filter(|j| *j < curve.from_m)
        .reduce(f64::max);
    let below = reach
        .joints_at_m
        .iter()
        .copied()
        .filter(|j| *j > curve.to_m)
        .reduce(f64::min);
    let above = above.unwrap_or(reach.from_m);
    let below = below.unwrap_or(reach.to_m);
    let mut out = vec![(above, curve.from_m - above, true)];
    if below < geometry.length_m() - 0.5 {
        out.push((below, below - curve.to_m, false));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::anchor::thrust::{FlowSection, on_bend_n};
    use crate::numeric::math;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_pushes_of_an_arc_sum_to_the_thrust_of_its_elbow(p in 1e4..3e6_f64, q in 0.0..0.05_f64, angle in 0.05..1.5_f64, radius in 2.0..200.0_f64) {
            let s = FlowSection { pressure_pa: p, area_m2: 0.01, bore_m2: 0.008, flow_m3_per_s: q, density_kg_per_m3: 1_000.0 };
            let steps = 2_000_u32;
            let d = angle / f64::from(steps);
            let w = on_curve_n_per_m(s.push_n(), radius);
            let (x, y) = (0..steps).fold((0.0, 0.0), |(x, y), k| {
                let at = (f64::from(k) + 0.5) * d;
                (x + w * radius * d * math::sin(at), y + w * radius * d * math::cos(at))
            });
            let sum = math::hypot(x, y);
            prop_assert!((sum / on_bend_n(s, angle) - 1.0).abs() < 1e-6);
        }
    }
}
