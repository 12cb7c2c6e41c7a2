//! Steep reaches: what of the pipe's weight the ground does not hold, and the anchors that must.

use super::SteepReach;
use super::friction::FRICTION_THAT_HELPS;
use super::ground::{SiteWater, empty_n_per_m, full_n_per_m, is_restrained};
use super::holds::LEAST_TOLD_N;
use super::pieces::{Jointed, run_at};
use crate::line::{Appurtenance, Geometry, Line, Reaches};
use crate::numeric::math;
use crate::pipe::{Bed, MarkKind};
use crate::unit::Limit;
use crate::unit::exact::FOOT_M;

/// Safety of anchors on a slope (common practice, no source).
pub const SAFETY: f64 = 1.5;

/// What one driven stake or rock bolt with its strap is counted on for, N (own caution, no source): pull one to know better.
const ONE_ANCHOR_N: f64 = 2_000.0;

/// An anchor told at an end of a reach stands in it, whatever the last digit that was told, m.
const SAME_PLACE_M: f64 = 1e-3;

/// Slopes are judged over so much pipe, m.
const STEP_M: f64 = 5.0;

/// The handbook's rows are read by the grade over so much pipe on either side, m: no row for a dip of one step.
const AROUND_M: f64 = 10.0;

/// What the ground does not hold of a pipe's weight along a slope, N/m: `w (sin b - mu cos b)`; negative where it lies by itself.
pub fn slides_n_per_m(weight_n_per_m: f64, slope_rad: f64, friction: f64) -> f64 {
    weight_n_per_m * (math::sin(slope_rad) - friction * math::cos(slope_rad))
}

/// Greatest distance between anchors of a strength, m, for what slides a metre.
pub fn anchor_spacing_m(strength_n: f64, slides_n_per_m: f64) -> f64 {
    strength_n / (SAFETY * slides_n_per_m)
}

/// Handbook spacing of slope anchors, m, by grade (fall over level distance); `None` below 20 %.
///
/// Ten States Standards (Recommended Standards for Wastewater Facilities) 33.46: 36 ft to 35 %, 24 ft to 50 %, 16 ft above.
/// A rule for sewers in trenches: for socketed pipe. For pipe that is one piece the force decides.
pub fn handbook_spacing_m(grade: f64) -> Option<f64> {
    // a grade of 20 % that a survey gives as 19.98 is 20 %
    match grade + 5e-4 {
        g if g < 0.20 => None,
        g if g < 0.35 => Some(36.0 * FOOT_M),
        g if g < 0.50 => Some(24.0 * FOOT_M),
        _ => Some(16.0 * FOOT_M),
    }
}

/// One step of the line.
#[derive(Debug, Clone, Copy, PartialEq)]
struct LineStep {
    from_m: f64,
    to_m: f64,
    slope_rad: f64,
    /// Fall over level distance of the stretch around it, which the handbook's rows are read by.
    grade: f64,
    friction: f64,
    known: bool,
    full: f64,
    empty: f64,
    slides_full: f64,
    slides_empty: f64,
    buried: bool,
    loose: bool,
    reach: usize,
}

impl LineStep {
    fn counts(&self) -> bool {
        let rule = self.loose && handbook_spacing_m(self.grade).is_some();
        rule || (!self.buried && self.slides_full.max(self.slides_empty) > 0.0)
    }

    /// The same reach goes on: one pipe, one way of lying, one friction, one row of the handbook.
    fn goes_on(&self, next: &Self) -> bool {
        let row = |s: &Self| handbook_spacing_m(s.grade);
        self.reach == next.reach
            && self.buried == next.buried
            && self.friction == next.friction
            && (!self.loose || row(self) == row(next))
    }
}

/// Steep reaches of a line, in order from the intake.
///
/// Steel that expansion joints part is held at its blocks and anchors, which take its weight; an anchor between them and a joint would stop it from sliding.
pub(super) fn slopes(line: &Line, jointed: &[Jointed]) -> Vec<SteepReach> {
    let mut out = Vec::new();
    let mut run: Vec<LineStep> = Vec::new();
    let parted = |s: &LineStep| run_at(jointed, 0.5 * (s.from_m + s.to_m)).is_some();
    for step in steps(line).into_iter().filter(|s| !parted(s)) {
        let goes_on = step.counts() && run.last().is_none_or(|last| last.goes_on(&step));
        if !goes_on {
            out.extend(slope(&line.reaches, &line.stands, &run));
            run.clear();
        }
        if step.counts() {
            run.push(step);
        }
    }
    out.extend(slope(&line.reaches, &line.stands, &run));
    out
}

fn steps(line: &Line) -> Vec<LineStep> {
    let length = line.geometry.length_m();
    let count = (length / STEP_M).ceil().max(1.0);
    let water = SiteWater::of(&line.environment);
    let mut out = Vec::new();
    let mut k = 0.0;
    while k < count {
        let (from_m, to_m) = (length * k / count, length * (k + 1.0) / count);
        k += 1.0;
        let middle = 0.5 * (from_m + to_m);
        let Some(reach) = line.reaches.iter().position(|r| middle <= r.to_m) else {
            continue;
        };
        let Some(of) = line.reaches.get(reach) else {
            continue;
        };
        let fall =
            (line.geometry.elevation_m(from_m) - line.geometry.elevation_m(to_m)) / (to_m - from_m);
        let slope_rad = math::asin(fall.clamp(-1.0, 1.0)).abs();
        let grade = grade_around(&line.geometry, middle);
        let own = line.environment.friction_at(middle);
        let friction = own.unwrap_or(FRICTION_THAT_HELPS);
        let (full, empty) = (
            full_n_per_m(&of.pipe, water),
            empty_n_per_m(&of.pipe, water.gravity_m_per_s2),
        );
        out.push(LineStep {
            from_m,
            to_m,
            slope_rad,
            grade,
            friction,
            known: own.is_some(),
            full,
            empty,
            slides_full: slides_n_per_m(full, slope_rad, friction).max(0.0),
            slides_empty: slides_n_per_m(empty, slope_rad, friction).max(0.0),
            buried: line.environment.bed_at(middle) == Bed::Buried,
            loose: !is_restrained(of),
            reach,
        });
    }
    out
}

/// Fall over level distance over [`AROUND_M`] on either side.
fn grade_around(geometry: &Geometry, station_m: f64) -> f64 {
    let from = (station_m - AROUND_M).max(0.0);
    let to = (station_m + AROUND_M).min(geometry.length_m());
    let along = (to - from).max(1e-9);
    let fall = (geometry.elevation_m(from) - geometry.elevation_m(to)) / along;
    math::tan(math::asin(fall.clamp(-1.0, 1.0)).abs())
}

fn slope(reaches: &Reaches, stands: &[Appurtenance], run: &[LineStep]) -> Option<SteepReach> {
    let (first, last) = (run.first()?, run.last()?);
    let (from_m, to_m) = (first.from_m, last.to_m);
    let length = to_m - from_m;
    let mean = |of: fn(&LineStep) -> f64| {
        run.iter().map(|s| of(s) * (s.to_m - s.from_m)).sum::<f64>() / length
    };
    let slope_rad = mean(|s| s.slope_rad);
    let pull_n = if first.buried {
        0.0
    } else {
        mean(|s| s.slides_full) * length
    };
    let handbook = handbook_spacing_m(run.iter().map(|s| s.grade).fold(0.0, f64::max));
    let standing = standing(reaches, stands, run);
    let have: f64 = standing
        .iter()
        .filter_map(|&(i, _)| stands.get(i)?.strength_n)
        .sum();
    // an anchor set for what was asked is enough, whatever the last digit
    let lacks = SAFETY * pull_n - have;
    let lacks = if Limit::AtLeast.holds(have, SAFETY * pull_n) || lacks < LEAST_TOLD_N {
        0.0
    } else {
        lacks
    };
    let by_force = (lacks / ONE_ANCHOR_N).ceil().max(0.0);
    let by_rule = match (first.loose, handbook) {
        (true, Some(spacing)) => (length / spacing).ceil() - standing.len() as f64,
        _ => 0.0,
    };
    let count = by_force.max(by_rule).max(0.0);
    let mut anchors_m = Vec::new();
    let mut k = 0.0;
    while k < count {
        anchors_m.push(from_m + length * k / count);
        k += 1.0;
    }
    Some(SteepReach {
        from_m,
        to_m,
        slope_rad,
        friction: first.friction,
        friction_known: first.known,
        full_n_per_m: mean(|s| s.full),
        empty_n_per_m: mean(|s| s.empty),
        slides_full_n_per_m: pull_n / length,
        slides_empty_n_per_m: if first.buried {
            0.0
        } else {
            mean(|s| s.slides_empty)
        },
        pull_n,
        safety: SAFETY,
        anchor_n: if count > 0.0 {
            (lacks.max(0.0) / count).max(SAFETY * pull_n / (count + standing.len() as f64))
        } else {
            0.0
        },
        anchors_m,
        standing,
        handbook_spacing_m: handbook,
        from_memory: !first.known,
    })
}

/// Anchors that stand in a reach, each with what it holds over its share: the pipe below it down to the next anchor; the uppermost also what lies above it.
fn standing(
    reaches: &Reaches,
    stands: &[Appurtenance],
    run: &[LineStep],
) -> Vec<(usize, Option<f64>)> {
    let (Some(first), Some(last)) = (run.first(), run.last()) else {
        return Vec::new();
    };
    let inside: Vec<(usize, f64, Option<f64>)> = stands
        .iter()
        .enumerate()
        .filter(|(_, s)| {
            s.kind == MarkKind::Anchor
                && reaches.counts(s)
                && (first.from_m - SAME_PLACE_M..=last.to_m + SAME_PLACE_M).contains(&s.station_m)
        })
        .map(|(i, s)| (i, s.station_m, s.strength_n))
        .collect();
    let slid = |a: f64, b: f64| -> f64 {
        run.iter()
            .map(|s| (s.to_m.min(b) - s.from_m.max(a)).max(0.0) * s.slides_full)
            .sum()
    };
    inside
        .iter()
        .enumerate()
        .map(|(k, &(i, at, strength))| {
            let from = if k == 0 { first.from_m } else { at };
            let to = inside.get(k + 1).map_or(last.to_m, |n| n.1);
            // a load of less than a newton is none: it is held many times over
            let load = slid(from, to).max(1.0);
            let holds = strength.map(|s| anchor_spacing_m(s, load));
            (i, holds)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gentle_slope_holds_its_pipe() {
        assert!(slides_n_per_m(92.3, 10.0_f64.to_radians(), 0.2) < 0.0);
        assert!(slides_n_per_m(92.3, 0.3_f64.atan(), 0.3).abs() < 1e-9);
    }

    #[test]
    fn the_rule_starts_at_a_fifth() {
        assert_eq!(handbook_spacing_m(0.19), None);
        assert!((handbook_spacing_m(0.2).unwrap() - 10.97).abs() < 0.01);
        assert!((handbook_spacing_m(0.6).unwrap() - 4.88).abs() < 0.01);
    }
}
