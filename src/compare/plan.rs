use super::alignment::{AlignOptions, Alignment, Apart, By, LEAST_M, Matched, even, length};
use super::along::along;
use super::offset::wanders;
use super::shape::{PlanShape, ShapeFoot};
use crate::numeric::{Motion, PlanPair, isotonic, kabsch, math, median, series, spread};
use crate::receiver::FORGETS_M;
use crate::route::Route;

/// How far positions that are not a walk's may be off as a whole, m (standard deviation): two bases, two datums.
const DATUM_M: f64 = 4.0;
/// Independent looks in positions that are not a walk's.
const USUAL_LOOKS: f64 = 20.0;
/// What all walks of a survey may be off together, m: they hear the same satellites.
const COMMON_M: f64 = 1.5;
/// Two lines whose plans part by more than this after the fit are not of one pipe, m.
const FARTHEST_M: f64 = 60.0;

/// What is known beforehand of the shift of one survey against the other.
struct ShiftDoubt {
    /// Standard deviation, m.
    sd_m: f64,
    /// Independent looks in the later survey.
    looks: f64,
}

impl ShiftDoubt {
    /// Walks: each survey's mean is as far off as its own scatter says and as all walks may be together. On a nearly straight line hardly anything else says where along it the later one lies.
    fn of(before: &Route, after: &Route) -> Self {
        let walked = [before, after].map(wanders);
        let of = |route: &Route| math::hypot(route.station_sd_m, COMMON_M);
        Self {
            sd_m: if walked == [true; 2] {
                math::hypot(of(before), of(after))
            } else {
                DATUM_M
            },
            looks: if walked.contains(&true) {
                (length(after) / (2.0 * FORGETS_M)).max(1.0)
            } else {
                USUAL_LOOKS
            },
        }
    }
}

/// Brings two lines together by their positions in plan.
pub(super) fn by_plan(
    before: &Route,
    after: &Route,
    (a, b): (&PlanShape, &PlanShape),
    options: &AlignOptions,
) -> Result<Alignment, Apart> {
    let points = b.thinned(400);
    let start = if a.on_earth {
        Motion::default()
    } else {
        first_guess(before, after, (a, b), options)
    };
    let doubt = a.on_earth.then(|| ShiftDoubt::of(before, after));
    let (motion, _) = fit(a, &points, start, doubt.as_ref());
    let feet: Vec<(f64, ShapeFoot)> = points
        .iter()
        .filter_map(|(s, p)| Some((*s, a.foot(motion.of(*p), (f64::MIN, f64::MAX))?)))
        .collect();
    let inside: Vec<&(f64, ShapeFoot)> = feet.iter().filter(|(_, f)| !f.is_end).collect();
    let off: Vec<f64> = inside.iter().map(|(_, f)| f.left_m.abs()).collect();
    let far = median(&off);
    if inside.len() < 3 {
        return Err(Apart::TooLittle(LEAST_M));
    }
    if far > FARTHEST_M {
        return Err(Apart::TooFar(far));
    }
    let turned = runs_back(&inside);
    let whole = length(after);
    let pairs = followed(a, &points, motion, &inside, turned.then_some(whole));
    if pairs.len() < 3 {
        return Err(Apart::TooLittle(LEAST_M));
    }
    // Noise across the line folds feet back and forth at bends: along the line they only go on.
    let stations: Vec<f64> = pairs.iter().map(|p| p.0).collect();
    let feet: Vec<f64> = pairs.iter().map(|p| p.1).collect();
    let monotone = isotonic::rising(&feet, &[]);
    let (from_m, to_m) = (series::first(&monotone), series::last(&monotone));
    if to_m - from_m < LEAST_M {
        return Err(Apart::TooLittle(LEAST_M));
    }
    let matched = even(from_m, to_m)
        .into_iter()
        .map(|before_m| {
            let after_m = inverse(&stations, &monotone, before_m);
            let own = if turned { whole - after_m } else { after_m };
            let foot = a.foot(motion.of(b.point(own)), (before_m - 15.0, before_m + 15.0));
            Matched {
                before_m,
                after_m,
                side_m: foot.map(|f| f.left_m),
                up_m: 0.0,
            }
        })
        .collect();
    Ok(Alignment {
        by: By::Plan,
        from_m,
        to_m,
        matched,
        motion: Some(motion),
        turned,
        station_sd_m: math::hypot(before.station_sd_m, after.station_sd_m),
        ..Alignment::none()
    })
}

/// Stations of the later line (counted down the earlier one) with their feet, found by following the line point after point.
///
/// A line that folds comes near itself: the nearest point of all may lie on another limb. The first foot is looked for where most feet say it should be, each
/// further one only a little beyond the foot before it.
fn followed(
    a: &PlanShape,
    points: &[(f64, (f64, f64))],
    motion: Motion,
    inside: &[&(f64, ShapeFoot)],
    turned: Option<f64>,
) -> Vec<(f64, f64)> {
    /// Noise may take a foot so far back or on, m.
    const PLAY_M: f64 = 6.0;
    let own = |s: f64| turned.map_or(s, |whole| whole - s);
    let offsets: Vec<f64> = inside.iter().map(|(s, f)| f.station_m - own(*s)).collect();
    let (offset, room) = (
        median(&offsets),
        15.0_f64.max(3.0 * spread(&offsets)).min(40.0),
    );
    let mut ordered: Vec<(f64, (f64, f64))> = points.iter().map(|(s, p)| (own(*s), *p)).collect();
    ordered.sort_by(|x, y| x.0.total_cmp(&y.0));
    let mut pairs = Vec::with_capacity(ordered.len());
    let mut before: Option<(f64, f64)> = None;
    for (s, p) in ordered {
        let within = match before {
            Some((at, foot)) => (foot - PLAY_M, foot + 1.3 * (s - at) + PLAY_M),
            None => (s + offset - room, s + offset + room),
        };
        let Some(foot) = a.foot(motion.of(p), within) else {
            continue;
        };
        // Before the earlier line begins and after it ends there is nothing to follow.
        if !foot.is_end {
            pairs.push((s, foot.station_m));
            before = Some((s, foot.station_m));
        }
    }
    pairs
}

/// Whether the later line runs against the earlier one.
fn runs_back(feet: &[&(f64, ShapeFoot)]) -> bool {
    let steps = feet.iter().zip(feet.iter().skip(1));
    let (mut on, mut back) = (0.0, 0.0);
    for (a, b) in steps {
        let step = b.1.station_m - a.1.station_m;
        if step > 0.0 { on += step } else { back -= step }
    }
    back > on
}

/// Station of the later survey where the monotone match reaches a station of the earlier one.
fn inverse(stations: &[f64], feet: &[f64], before_m: f64) -> f64 {
    let above = feet.partition_point(|f| *f < before_m);
    let pair = |i: usize| feet.get(i).copied().zip(stations.get(i).copied());
    match (above.checked_sub(1).and_then(pair), pair(above)) {
        (Some((f0, s0)), Some((f1, s1))) if f1 > f0 => s0 + (s1 - s0) * (before_m - f0) / (f1 - f0),
        (_, Some((_, s))) | (Some((_, s)), None) => s,
        (None, None) => 0.0,
    }
}

/// For grids of unknown place and direction: matched by stations first.
fn first_guess(
    before: &Route,
    after: &Route,
    (a, b): (&PlanShape, &PlanShape),
    options: &AlignOptions,
) -> Motion {
    let found = along(before, after, options).ok();
    let (offset, turned) = found.map_or((0.0, false), |f| (f.offset_m, f.turned));
    let place = |s: f64| offset + if turned { length(after) - s } else { s };
    let pairs: Vec<PlanPair> = b
        .thinned(60)
        .into_iter()
        .filter(|(s, _)| (0.0..=length(before)).contains(&place(*s)))
        .map(|(s, from)| PlanPair {
            from,
            to: a.point(place(s)),
            weight: 1.0,
        })
        .collect();
    kabsch(&pairs).map_or_else(Motion::default, |(m, _)| m)
}

/// Point-to-line fit with Tukey's weights, by Gauss and Newton; gives the motion and the spread left across the line. `doubt`: of the shift; without one the later line may turn and lie anywhere.
fn fit(
    a: &PlanShape,
    points: &[(f64, (f64, f64))],
    start: Motion,
    doubt: Option<&ShiftDoubt>,
) -> (Motion, f64) {
    let centre = points
        .iter()
        .fold((0.0, 0.0), |c, (_, p)| (c.0 + p.0, c.1 + p.1));
    let count = points.len().max(1) as f64;
    let centre = (centre.0 / count, centre.1 / count);
    let mut motion = start;
    let mut wide = 0.0;
    for round in 0..30 {
        let feet: Vec<((f64, f64), ShapeFoot)> = points
            .iter()
            .filter_map(|(_, p)| {
                let foot = a.foot(motion.of(*p), (f64::MIN, f64::MAX))?;
                (!foot.is_end).then_some((*p, foot))
            })
            .collect();
        let off: Vec<f64> = feet.iter().map(|(_, f)| f.left_m).collect();
        let zero: Vec<f64> = off.iter().flat_map(|x| [*x, -*x]).collect();
        // The first rounds take everything near, so that a wrong start can come in.
        wide = spread(&zero)
            .max(0.02)
            .max(if round < 4 { 5.0 } else { 0.0 });
        let mut normal = [[0.0; 3]; 3];
        let mut right = [0.0; 3];
        for (p, foot) in &feet {
            let u = foot.left_m / (4.685 * wide);
            if u.abs() >= 1.0 {
                continue;
            }
            let weight = math::powi(1.0 - u * u, 2) / (wide * wide);
            let across = (-foot.along.1, foot.along.0);
            let moved = motion.of(*p);
            let arm = motion.of(centre);
            let lever = (-(moved.1 - arm.1), moved.0 - arm.0);
            let row = [across.0, across.1, across.0 * lever.0 + across.1 * lever.1];
            for ((line, r), x) in normal.iter_mut().zip(&mut right).zip(row) {
                for (cell, y) in line.iter_mut().zip(row) {
                    *cell += weight * x * y;
                }
                *r -= weight * x * foot.left_m;
            }
        }
        // What is known beforehand of shift and turn. The points err together, and count as many times as there are points to an independent look: so does this.
        let shift = doubt.map_or(1e-9, |doubt| {
            count / doubt.looks.min(count) / (doubt.sd_m * doubt.sd_m)
        });
        let may_turn = doubt.is_none();
        let [first, second, third] = &mut normal;
        first[0] += shift;
        second[1] += shift;
        third[2] += if may_turn { 1e-9 } else { 1e12 };
        if !may_turn {
            right[0] -= shift * motion.east_m;
            right[1] -= shift * motion.north_m;
        }
        let Some(step) = solve3(normal, right) else {
            break;
        };
        // The turn is about the centre of the points, so that it does not swing them away.
        let arm = motion.of(centre);
        let turned = Motion {
            turn_rad: motion.turn_rad + step[2],
            ..motion
        };
        let new_arm = turned.of(centre);
        motion = Motion {
            turn_rad: turned.turn_rad,
            east_m: motion.east_m + arm.0 - new_arm.0 + step[0],
            north_m: motion.north_m + arm.1 - new_arm.1 + step[1],
        };
        let small = step.iter().all(|s| s.abs() < 1e-6);
        if round > 6 && small {
            break;
        }
    }
    (motion, wide)
}

fn solve3(normal: [[f64; 3]; 3], right: [f64; 3]) -> Option<[f64; 3]> {
    let matrix = nalgebra::Matrix3::from_fn(|i, j| {
        normal.get(i).and_then(|r| r.get(j)).copied().unwrap_or(0.0)
    });
    let solved = matrix.cholesky()?.solve(&nalgebra::Vector3::from(right));
    Some([solved.x, solved.y, solved.z])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::Rng;

    /// A gentle sweep of 600 m, and the same as walks show it whose mean errs by 1.2 m and forgets itself over `FORGETS_M`: what they are off together across the line is regained, and along it the noise does not slide it.
    #[test]
    fn a_nearly_straight_line_is_not_slid_along_itself() {
        let sweep = |along: f64| (along, 25.0 * math::sin(along / 160.0));
        let line = PlanShape {
            station_m: (0..=120).map(|i| 5.0 * f64::from(i)).collect(),
            at: (-60..=60).map(|i| sweep(5.0 * f64::from(i))).collect(),
            on_earth: true,
        };
        let slid = |sd_m, looks| over_seeds(&line, sweep, &ShiftDoubt { sd_m, looks });
        let (along, across) = slid(math::hypot(1.5, 1.5), 600.0 / (2.0 * FORGETS_M));
        assert!(along < 0.8 && across < 0.8, "{along} {across}");
        // Held loosely, and each look counted as three, it is.
        assert!(slid(4.0, 20.0).0 > 1.5);
    }

    /// Root mean squares of what the fit slides such a line along and of what it leaves across, m.
    fn over_seeds(
        line: &PlanShape,
        sweep: impl Fn(f64) -> (f64, f64),
        doubt: &ShiftDoubt,
    ) -> (f64, f64) {
        const LINES: u64 = 60;
        let (mut along, mut across) = (0.0, 0.0);
        for seed in 0..LINES {
            let mut draws = Rng::new(900 + seed);
            let mut error = [1.2 * draws.normal(), 1.2 * draws.normal()];
            let keep = math::exp(-1.5 / FORGETS_M);
            let points: Vec<(f64, (f64, f64))> = (0..=400)
                .map(|i| {
                    for e in &mut error {
                        *e = keep * *e + 1.2 * (1.0 - keep * keep).sqrt() * draws.normal();
                    }
                    let s = 1.5 * f64::from(i);
                    let (east, north) = sweep(s - 300.0);
                    (s, (east + error[0], north + error[1] - 3.0))
                })
                .collect();
            let (motion, _) = fit(line, &points, Motion::default(), Some(doubt));
            along += motion.east_m * motion.east_m / LINES as f64;
            across += math::powi(motion.north_m - 3.0, 2) / LINES as f64;
        }
        (along.sqrt(), across.sqrt())
    }
}
