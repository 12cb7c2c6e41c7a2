use super::align::{Alignment, By};
use super::fit::{median, spread};
use super::reach::{calm, reaches};
use super::series::{Series, running_mean, wanders};
use super::sight::Sight;
use crate::numeric::math;
use crate::route::Route;
use crate::survey::Method;
use std::ops::Range;

/// How sure it is that a reach moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// It moved.
    Moved,
    /// It may have: level it.
    CannotTell,
}

/// A reach that moved or may have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moved {
    /// From, m, stations of the earlier survey.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Mean movement upwards over the reach, m; down is negative.
    pub up_m: f64,
    /// Its standard deviation, m.
    pub up_sd_m: f64,
    /// Mean movement to the left looking down the line, m; `None` without plans.
    pub side_m: Option<f64>,
    /// Its standard deviation, m.
    pub side_sd_m: Option<f64>,
    /// Movement down the line, m, where a place in the reach carries the same name in both surveys.
    pub along_m: Option<f64>,
    /// Its standard deviation, m.
    pub along_sd_m: Option<f64>,
    /// How much longer the line over the reach is than before, m: a pulled joint or a bow; negative where it is shorter.
    pub longer_m: f64,
    /// Its standard deviation, m.
    pub longer_sd_m: f64,
    /// Largest movement of a station in it, m.
    pub most_m: f64,
    /// How sure.
    pub verdict: Verdict,
}

/// So many standard deviations of its mean and a reach has moved, and so many and it may have; the line is searched, so it is more than for one look. By what both surveys are, from false
/// alarms on invented storms: the scatter of two books is small and its tails are not known; a book against a walk errs where the walk's peg or place is off.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bars {
    pub(super) moved_sds: f64,
    pub(super) may_sds: f64,
}

impl Bars {
    pub(super) fn of(before: &Route, after: &Route) -> Self {
        let (moved_sds, may_sds) = match (wanders(before), wanders(after)) {
            (false, false) => (3.8, 2.8),
            (true, true) => (3.0, 2.3),
            _ => (3.5, 2.7),
        };
        Self { moved_sds, may_sds }
    }
}

/// By how much the doubt of a movement told from walks is wider than the doubt it was found by: on invented storms movements scattered so much more.
const CHOSEN: f64 = 1.4;
/// How far one walk wanders aside over a reach against its neighbours, m (standard deviation; our judgement: walks over one path part by 2 to 4 m in the middle, most of it slowly).
const RECEIVER_SIDE_M: f64 = 0.8;
/// So near the end of what both surveys cover, m, a walk cannot be sure.
const END_M: f64 = 10.0;
/// So few stations of stable ground say nothing.
const LEAST_STABLE: usize = 10;
/// Less is no movement that matters, m: half a centimetre of a level, a hand's breadth of a receiver stand in the standard deviation.
pub(super) const LEAST_M: f64 = 0.015;

/// The reaches that moved between two aligned surveys, with their doubt.
///
/// Differences are averaged over a few metres; where they stand out, the reach's mean is held against its standard deviation, the larger of what the
/// two surveys' own doubt gives (draw against draw, reach against its neighbours) and of how means over that length scatter elsewhere on the line.
pub fn moved(before: &Route, after: &Route, alignment: &Alignment) -> Vec<Moved> {
    told(before, after, alignment).0
}

/// The reaches that moved, and the least movement that would have been told.
pub(super) fn told(before: &Route, after: &Route, alignment: &Alignment) -> (Vec<Moved>, Sight) {
    let stable: Vec<bool> = alignment
        .matched
        .iter()
        .map(|m| alignment.is_stable(m.before_m))
        .collect();
    // Too little of it to judge by is none.
    let few = stable.iter().filter(|s| **s).count() < LEAST_STABLE;
    let stable = if few {
        vec![true; stable.len()]
    } else {
        stable
    };
    let first = Series::of(before, after, alignment, |i| stable.get(i) == Some(&true));
    let found = reaches(&first, &stable);
    // What moved must not lean on its own baseline: the slow part is told again from the rest.
    let quiet = calm(&stable, &found);
    let series = Series::of(before, after, alignment, |i| quiet.get(i) == Some(&true));
    let reaches = reaches(&series, &stable);
    let judge = Judge {
        before,
        after,
        alignment,
        series: &series,
        calm: calm(&stable, &reaches),
        stable: &stable,
    };
    let mut moved: Vec<Moved> = reaches.iter().filter_map(|r| judge.reach(r)).collect();
    let pulled = judge.pulled(&moved);
    moved.extend(pulled);
    moved.sort_by(|a, b| a.from_m.total_cmp(&b.from_m));
    (moved, Sight::of(&judge))
}

/// Holds reaches against their doubt.
pub(super) struct Judge<'a> {
    pub(super) before: &'a Route,
    pub(super) after: &'a Route,
    pub(super) alignment: &'a Alignment,
    pub(super) series: &'a Series,
    calm: Vec<bool>,
    stable: &'a [bool],
}

impl Judge<'_> {
    pub(super) fn station(&self, i: usize) -> f64 {
        self.series.station_m.get(i).copied().unwrap_or(0.0)
    }

    fn reach(&self, run: &Range<usize>) -> Option<Moved> {
        let (from_m, to_m) = (
            self.station(run.start),
            self.station(run.end.saturating_sub(1)),
        );
        let length = (to_m - from_m).max(1.0);
        let mean = |values: &[f64]| {
            let part = values.get(run.clone()).unwrap_or_default();
            part.iter().sum::<f64>() / part.len().max(1) as f64
        };
        let most_m = self.most(run);
        let up_m = mean(&self.series.up_m);
        let side_m = self.series.side_m.as_deref().map(mean);
        let (up_sd_m, side_sd_m) = self.doubt(run, length);
        let times = |m: f64, sd: f64| if m.abs() < LEAST_M { 0.0 } else { m.abs() / sd };
        let up_times = times(up_m, up_sd_m);
        let side_times = side_m.zip(side_sd_m).map_or(0.0, |(m, sd)| times(m, sd));
        let most = up_times.max(side_times);
        let bars = Bars::of(self.before, self.after);
        if most < bars.may_sds {
            return None;
        }
        let (longer_m, longer_sd_m) = self.longer(run);
        let along = self.along(from_m, to_m);
        // Reaches are found by their own figures; what is told of them holds what lies unseen between surveyed points too.
        let unseen = (0.18 * self.apart_m() / length).clamp(0.015, 0.3);
        // A walk's reach is listed because it stands out, and is counted from neighbours that err with it: what is told of it is wider.
        let wider = if self.series.books { 1.0 } else { CHOSEN };
        let told = |m: f64, sd: f64| math::hypot(wider * sd, unseen * m);
        // A receiver's errors have no neighbour to show them on the outer side of an end.
        let at_end = !self.series.books
            && (from_m < self.alignment.from_m + END_M || to_m > self.alignment.to_m - END_M);
        let is_sure = most >= bars.moved_sds && !at_end;
        Some(Moved {
            from_m,
            to_m,
            up_m,
            up_sd_m: told(up_m, up_sd_m),
            side_m,
            side_sd_m: side_m.zip(side_sd_m).map(|(m, sd)| told(m, sd)),
            along_m: along,
            along_sd_m: along.map(|_| self.alignment.station_sd_m.max(0.1)),
            longer_m,
            longer_sd_m,
            most_m,
            verdict: if is_sure {
                Verdict::Moved
            } else {
                Verdict::CannotTell
            },
        })
    }

    /// Standard deviations of a reach's mean movement up and aside, m.
    pub(super) fn doubt(&self, run: &Range<usize>, length_m: f64) -> (f64, Option<f64>) {
        let from_m = self.station(run.start);
        let to_m = self.station(run.end.saturating_sub(1));
        let up_sd_m = math::hypot(
            self.scatter(&self.series.up_m, length_m, run)
                .max(self.own_doubt(run))
                .max(0.004),
            self.slid_along(from_m, to_m),
        );
        let side = self.series.side_m.as_deref();
        let side_sd_m = side.map(|s| self.scatter(s, length_m, run).max(self.side_doubt()));
        (up_sd_m, side_sd_m)
    }

    /// What two receivers' slow errors across the line leave of a reach against its neighbours at the least, m: less with more walks. Books have a hundredth of a turn.
    fn side_doubt(&self) -> f64 {
        let share = |r: &Route| 1.0 / r.passes.max(1) as f64;
        if self.series.books {
            0.02
        } else {
            RECEIVER_SIDE_M * (share(self.before) + share(self.after)).sqrt()
        }
    }

    /// What a match that is off along the line looks like upwards, m: on a reach that is steeper or flatter than the rest, heights part by as much. Where the pegs of both
    /// say the station there is none.
    fn slid_along(&self, from_m: f64, to_m: f64) -> f64 {
        if !matches!(self.alignment.by, By::Shape | By::Said | By::Names) {
            return 0.0;
        }
        let grade = |from: f64, to: f64| {
            let heights = &self.before.heights;
            (heights.at(to) - heights.at(from)) / (to - from).max(1.0)
        };
        let rest = grade(self.alignment.from_m, self.alignment.to_m);
        self.alignment.station_sd_m * (grade(from_m, to_m) - rest).abs()
    }

    /// Largest movement of a station in a reach, m.
    fn most(&self, run: &Range<usize>) -> f64 {
        let at = |v: &[f64], i: usize| v.get(i).copied().unwrap_or(0.0);
        run.clone()
            .map(|i| {
                let side = self.series.side_m.as_deref().map_or(0.0, |v| at(v, i));
                math::hypot(at(&self.series.up_m, i), side)
            })
            .fold(0.0, f64::max)
    }

    /// Distance between surveyed points, m: the wider of the two surveys; a walk sees no closer than a few metres.
    fn apart_m(&self) -> f64 {
        let spacing = |r: &Route| {
            let count = r.nodes.iter().filter(|n| n.surveyed).count().max(2);
            r.nodes.last().map_or(0.0, |n| n.station_m) / (count - 1) as f64
        };
        let least = if self.series.books { 0.0 } else { 5.0 };
        spacing(self.before).max(spacing(self.after)).max(least)
    }

    /// How means over such a length scatter elsewhere on the line; larger where there are few of them. Other moved reaches are no more than outliers to it.
    fn scatter(&self, values: &[f64], length_m: f64, run: &Range<usize>) -> f64 {
        let given = self.stable.iter().any(|s| !s);
        let all = if given {
            let share = self.stable.iter().filter(|s| **s).count();
            let step = (self.station(1) - self.station(0)).max(1e-6);
            share as f64 * step
        } else {
            self.alignment.to_m - self.alignment.from_m
        };
        // Where stable ground is named, lengths that fit on it are looked at: its own noise, not the movement's.
        let length_m = if given {
            length_m.min(0.5 * all)
        } else {
            length_m
        };
        let means = running_mean(&self.series.station_m, values, length_m);
        let half = 0.5 * length_m;
        let whole = |i: usize| {
            let at = self.station(i);
            !given
                || [at - half, at, at + half]
                    .iter()
                    .all(|s| self.alignment.is_stable(*s))
        };
        let quiet: Vec<f64> = means
            .iter()
            .enumerate()
            .filter(|(i, _)| !run.contains(i) && whole(*i))
            .flat_map(|(_, v)| [*v, -*v])
            .collect();
        let looks = ((all - length_m) / length_m).max(0.5);
        // The middle of a few is known badly.
        spread(&quiet) * 1.25 * (1.0 + 2.0 / looks)
    }

    /// What the surveys' own doubt gives for the reach's mean: for books against the whole line, for walks against the neighbours.
    fn own_doubt(&self, run: &Range<usize>) -> f64 {
        let draws = &self.series.up_draws_m;
        if draws.len() < 8 {
            return 0.0;
        }
        let count = self.series.station_m.len();
        let flank = if self.series.books {
            count
        } else {
            let (a, b) = (
                self.station(run.start),
                self.station(run.end.saturating_sub(1)),
            );
            let margin = 60.0_f64.max(b - a);
            self.series
                .station_m
                .partition_point(|s| *s < a + margin)
                .saturating_sub(run.start)
        };
        let near = run.start.saturating_sub(flank)..(run.end + flank).min(count);
        let contrasts: Vec<f64> = draws
            .iter()
            .map(|d| {
                let (mut inside, mut n, mut outside, mut m) = (0.0, 0.0_f64, 0.0, 0.0_f64);
                for i in near.clone() {
                    let v = d.get(i).copied().unwrap_or(0.0);
                    if run.contains(&i) {
                        inside += v;
                        n += 1.0;
                    } else {
                        outside += v;
                        m += 1.0;
                    }
                }
                inside / n.max(1.0) - outside / m.max(1.0)
            })
            .collect();
        let middle = median(&contrasts);
        let squares: f64 = contrasts.iter().map(|c| math::powi(c - middle, 2)).sum();
        (squares / contrasts.len() as f64).sqrt()
    }

    /// Growth of the line over a reach with some metres on both sides, and how such growths scatter along the line.
    fn longer(&self, run: &Range<usize>) -> (f64, f64) {
        let values = &self.series.longer_m;
        let step = (self.station(1) - self.station(0)).max(1e-6);
        let margin = (8.0 / step).ceil() as usize;
        let from = run.start.saturating_sub(margin);
        let to = (run.end + margin).min(values.len().saturating_sub(1));
        let at = |i: usize| values.get(i).copied().unwrap_or(0.0);
        let width = to - from;
        let all: Vec<f64> = (0..values.len().saturating_sub(width))
            .filter(|i| self.calm.get(*i) == Some(&true))
            .map(|i| at(i + width) - at(i))
            .flat_map(|g| [g, -g])
            .collect();
        // Where a tape gave the length, how it lay counts; where positions did, only how they scatter.
        let doubt = if located(self.before) && located(self.after) {
            0.01
        } else {
            0.003 * (self.station(to) - self.station(from)) * std::f64::consts::SQRT_2
        };
        (at(to) - at(from), spread(&all).max(doubt))
    }

    /// How far a place of the same name in the reach went down the line.
    fn along(&self, from_m: f64, to_m: f64) -> Option<f64> {
        let shifts: Vec<f64> = self
            .before
            .places
            .iter()
            .filter(|p| !p.name.is_empty() && p.station_m >= from_m && p.station_m <= to_m)
            .filter_map(|p| {
                let same = self
                    .after
                    .places
                    .iter()
                    .find(|q| q.name.eq_ignore_ascii_case(&p.name))?;
                let whole = self.after.nodes.last().map_or(0.0, |n| n.station_m);
                let own = if self.alignment.turned {
                    whole - same.station_m
                } else {
                    same.station_m
                };
                let at: Vec<f64> = self.alignment.matched.iter().map(|m| m.after_m).collect();
                let to: Vec<f64> = self.alignment.matched.iter().map(|m| m.before_m).collect();
                Some(crate::route::interpolate(&at, &to, own) - p.station_m)
            })
            .collect();
        (!shifts.is_empty()).then(|| median(&shifts))
    }
}

/// Lengths come from positions, not from a tape.
pub(super) fn located(route: &Route) -> bool {
    matches!(route.method, Some(Method::Gpx | Method::Points))
        && route.nodes.iter().all(|n| n.plan.is_some())
}
