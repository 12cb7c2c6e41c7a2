//! A line in plan, and the way along it.

use super::clean::span;
use crate::numeric::math;

/// How far a line may be taken to go on straight beyond its ends, m. Left endless, one stop that turns the last stretch round would send a whole walk astray.
const BEYOND_M: f64 = 15.0;

/// A line of straight stretches with its stations.
#[derive(Debug, Clone, Default)]
pub(crate) struct Polyline {
    points: Vec<[f64; 2]>,
    station_m: Vec<f64>,
    /// Unit vector from each point to the next: a walk asks for thousands of feet on a stretch.
    toward: Vec<[f64; 2]>,
}

/// Where a point falls on a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct LineFoot {
    /// Station of the nearest place on the line, m; a little below 0 or above the length where it lies beyond an end.
    pub(crate) station_m: f64,
    /// How far off it is, m.
    pub(crate) off_m: f64,
}

impl Polyline {
    /// A line through points; points that repeat the one before are dropped.
    pub(crate) fn new(points: impl IntoIterator<Item = [f64; 2]>) -> Self {
        let mut line = Self::default();
        for point in points {
            let next = match (line.points.last(), line.station_m.last()) {
                (Some(&last), Some(&station)) => {
                    let step = span(last, point);
                    if step <= 1e-6 {
                        continue;
                    }
                    line.toward
                        .push([(point[0] - last[0]) / step, (point[1] - last[1]) / step]);
                    station + step
                }
                _ => 0.0,
            };
            line.points.push(point);
            line.station_m.push(next);
        }
        line
    }

    /// Its length, m.
    pub(crate) fn length_m(&self) -> f64 {
        self.station_m.last().copied().unwrap_or(0.0)
    }

    /// Its points.
    pub(crate) fn points(&self) -> &[[f64; 2]] {
        &self.points
    }

    /// Stations of its points, m.
    pub(crate) fn station_m(&self) -> &[f64] {
        &self.station_m
    }

    /// The place at a station; beyond an end the line goes on straight.
    pub(crate) fn at(&self, station_m: f64) -> [f64; 2] {
        let count = self.points.len();
        let after = self
            .station_m
            .partition_point(|&s| s < station_m)
            .clamp(1, count.saturating_sub(1).max(1));
        let pick = |i: usize| {
            self.points
                .get(i)
                .copied()
                .zip(self.station_m.get(i).copied())
        };
        match (pick(after - 1), pick(after)) {
            (Some((a, s0)), Some((b, s1))) => {
                let t = (station_m - s0) / (s1 - s0);
                [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]
            }
            (Some((a, _)), None) => a,
            _ => [0.0; 2],
        }
    }

    /// The nearest place between two stations; a line of one point has only that.
    pub(crate) fn foot(&self, point: [f64; 2], from_m: f64, to_m: f64) -> LineFoot {
        let last = self.points.len().saturating_sub(1);
        let begin = self
            .past(from_m)
            .saturating_sub(1)
            .min(last.saturating_sub(1));
        let end = self.past(to_m).clamp((begin + 1).min(last), last);
        let mut best = LineFoot {
            station_m: 0.0,
            off_m: f64::INFINITY,
        };
        let mut best_2 = f64::INFINITY;
        // What is sought mostly lies in the middle of the reach: its distance there shows how much of the rest is too far off to be looked at.
        let middle = self.on_stretch(point, begin + (end - begin) / 2);
        let bound_m = middle.map_or(f64::INFINITY, |(off_2, _)| off_2.sqrt());
        let mut i = begin;
        while i < end {
            let Some((off_2, station_m)) = self.on_stretch(point, i) else {
                break;
            };
            if off_2 < best_2 {
                best_2 = off_2;
                best.station_m = station_m;
            }
            i += 1;
            // No place nearer along the line than what this one is too far off can be nearer than the middle.
            if let (Some(&here), Some(&s)) = (self.points.get(i), self.station_m.get(i)) {
                let clear_m = s + span(here, point) - bound_m;
                while i + 1 < end && self.station_m.get(i + 1).is_some_and(|&s| s < clear_m) {
                    i += 1;
                }
            }
        }
        best.off_m = best_2.sqrt();
        if last == 0
            && let Some(&only) = self.points.first()
        {
            best.off_m = span(only, point);
        }
        best
    }

    /// The nearest place on the stretch behind point i: distance squared, station. The first and the last stretch go on straight for a while.
    fn on_stretch(&self, point: [f64; 2], i: usize) -> Option<(f64, f64)> {
        let (&a, &along) = (self.points.get(i)?, self.toward.get(i)?);
        let (&s0, &s1) = (self.station_m.get(i)?, self.station_m.get(i + 1)?);
        let length = s1 - s0;
        let (dx, dy) = (point[0] - a[0], point[1] - a[1]);
        let low = if i == 0 { -BEYOND_M } else { 0.0 };
        let high = if i + 2 == self.points.len() {
            length + BEYOND_M
        } else {
            length
        };
        let t = (dx * along[0] + dy * along[1]).clamp(low, high);
        let (ox, oy) = (dx - t * along[0], dy - t * along[1]);
        Some((ox * ox + oy * oy, s0 + t))
    }

    /// Index of the first point beyond a station. Points are nearly even, so a guess by the mean spacing is close, and a few steps settle it.
    fn past(&self, station_m: f64) -> usize {
        let count = self.station_m.len();
        let guess = (station_m / self.length_m() * count as f64).clamp(0.0, count as f64) as usize;
        let mut i = guess;
        for _ in 0..16 {
            let beyond = |i: usize| self.station_m.get(i).is_none_or(|&s| s > station_m);
            if i > 0 && beyond(i - 1) {
                i -= 1;
            } else if !beyond(i) {
                i += 1;
            } else {
                return i;
            }
        }
        self.station_m.partition_point(|&s| s <= station_m)
    }

    /// The nearest place anywhere.
    pub(crate) fn foot_anywhere(&self, point: [f64; 2]) -> LineFoot {
        self.foot(point, f64::NEG_INFINITY, f64::INFINITY)
    }

    /// The same line the other way round.
    pub(crate) fn turned(&self) -> Self {
        Self::new(self.points.iter().rev().copied())
    }

    /// How much an error aside, which forgets itself over `forgets_m`, changes the length: its variance for an error of 1 m.
    ///
    /// The length changes by the sum of the turns, each times the error at it; turns near each other share theirs.
    pub(crate) fn turning(&self, forgets_m: f64) -> f64 {
        let (mut sum, mut near) = (0.0, 0.0);
        for w in self.points.windows(3) {
            let &[a, b, c] = w else { continue };
            let (u, v) = ([b[0] - a[0], b[1] - a[1]], [c[0] - b[0], c[1] - b[1]]);
            let turn = math::atan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1]);
            near *= math::exp(-span(a, b) / forgets_m);
            sum += turn * (turn + 2.0 * near);
            near += turn;
        }
        sum
    }

    /// Points at least `least_m` apart along a path, first and last kept: wander round a stop shrinks to a point.
    pub(crate) fn thinned(path: impl IntoIterator<Item = [f64; 2]>, least_m: f64) -> Vec<[f64; 2]> {
        let mut out: Vec<[f64; 2]> = Vec::new();
        let mut end = None;
        for point in path {
            end = Some(point);
            if out.last().is_none_or(|&l| span(l, point) >= least_m) {
                out.push(point);
            }
        }
        if let (Some(end), Some(&last)) = (end, out.last())
            && end != last
        {
            if out.len() > 1 && span(last, end) < 0.5 * least_m {
                out.pop();
            }
            out.push(end);
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn feet_on_a_corner() {
        let line = Polyline::new([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0]]);
        assert_eq!(line.length_m(), 20.0);
        let foot = line.foot_anywhere([4.0, 3.0]);
        assert!((foot.station_m - 4.0).abs() < 1e-12 && (foot.off_m - 3.0).abs() < 1e-12);
        assert_eq!(line.foot_anywhere([-4.0, 0.0]).station_m, -4.0);
        assert_eq!(line.foot_anywhere([-40.0, 0.0]).station_m, -15.0);
        assert_eq!(line.foot_anywhere([11.0, 14.0]).station_m, 24.0);
        // Looked for in the first stretch only.
        assert_eq!(line.foot([9.0, 8.0], 0.0, 5.0).station_m, 9.0);
        assert_eq!(line.at(15.0), [10.0, 5.0]);
        assert_eq!(line.at(-2.0), [-2.0, 0.0]);
    }

    #[test]
    fn bends_make_the_length_more_doubtful() {
        let turning = |points: &[[f64; 2]]| Polyline::new(points.iter().copied()).turning(48.0);
        assert_eq!(turning(&[[0.0, 0.0], [300.0, 0.0], [900.0, 0.0]]), 0.0);
        let square = math::powi(std::f64::consts::FRAC_PI_2, 2);
        let far = turning(&[[0.0, 0.0], [500.0, 0.0], [500.0, 500.0], [1000.0, 500.0]]);
        assert!((far - 2.0 * square).abs() < 0.001, "{far}");
        // A jog to the side and straight back: the two turns nearly cancel.
        let jog = turning(&[[0.0, 0.0], [500.0, 0.0], [500.0, 1.0], [1000.0, 1.0]]);
        assert!(jog < 0.05 * square, "{jog}");
    }

    #[test]
    fn one_point_and_none() {
        let one = Polyline::new([[1.0, 1.0], [1.0, 1.0]]);
        assert_eq!(one.length_m(), 0.0);
        assert_eq!(one.foot_anywhere([1.0, 3.0]).off_m, 2.0);
        assert_eq!(one.at(5.0), [1.0, 1.0]);
        assert!(
            Polyline::default()
                .foot_anywhere([0.0, 0.0])
                .off_m
                .is_infinite()
        );
    }

    proptest! {
        #[test]
        fn the_foot_is_the_nearest_of_all_stretches(
            steps in prop::collection::vec((-9.0..9.0f64, -9.0..9.0f64), 2..40),
            x in -40.0..40.0f64, y in -40.0..40.0f64, from in -20.0..100.0f64, reach in 1.0..200.0f64,
        ) {
            let mut at = [0.0, 0.0];
            let line = Polyline::new(steps.iter().map(|&(dx, dy)| { at = [at[0] + dx, at[1] + dy]; at }));
            let foot = line.foot([x, y], from, from + reach);
            let last = line.points.len() - 1;
            let begin = line.past(from).saturating_sub(1).min(last.saturating_sub(1));
            let end = line.past(from + reach).clamp((begin + 1).min(last), last);
            let nearest = (begin..end).filter_map(|i| line.on_stretch([x, y], i)).map(|f| f.0).fold(f64::INFINITY, f64::min);
            prop_assert!(last == 0 || (foot.off_m - nearest.sqrt()).abs() < 1e-9);
        }

        #[test]
        fn a_place_on_the_line_is_its_own_foot(s in 0.0..30.0f64) {
            let line = Polyline::new([[0.0, 0.0], [10.0, 2.0], [14.0, 20.0], [9.0, 25.0]]);
            let s = s.min(line.length_m());
            let foot = line.foot_anywhere(line.at(s));
            prop_assert!((foot.station_m - s).abs() < 1e-9 && foot.off_m < 1e-9);
        }
    }
}
