//! What changed, one change after the other, and which cause fits each best.

use super::cause::{CAUSES, Cause, CauseEffect, Pace};
use super::channel::Channel;
use super::fitted::{Fitted, FittedChange};
use super::plant::Plant;
use super::result::{Episode, ExplainedReading, Readings, Suspect};
use super::scan::{CourseScore, RunningSums, TimeCourse, each_course, knots};
use super::wander::wander_m;
use crate::numeric::{math, median};

/// A change is told from this logarithm of the likelihood ratio on: quiet invented years pass it less than once in three years (docs/basis/gauge-book.md).
pub(super) const BAR: f64 = 12.0;
/// Most changes of a book.
const MOST: usize = 12;
/// Times that sizes are fitted again with the others held.
const ROUNDS: usize = 3;
/// Readings of the channel that shows a change most, before it, in it, and after it where it is over; in one that is over one more.
const LEAST_READINGS: usize = 2;

pub(super) struct BookJudge<'a> {
    plant: &'a Plant<'a>,
    channels: &'a [Channel],
    /// Read less computed, by channel.
    off: Vec<Vec<f64>>,
    knots: Vec<f64>,
    zero_day: f64,
    last_day: f64,
    /// How far the level at the intake wanders by itself, m.
    wander_m: f64,
    /// The level at the intake is read beside the pressure and taken off.
    level_known: bool,
    /// What a metre of lower level does to each channel.
    by_level: Vec<f64>,
    /// What the season's warmth of the water does to each channel, one standard deviation of it.
    by_season: Vec<f64>,
}

impl<'a> BookJudge<'a> {
    pub(super) fn new(
        plant: &'a Plant<'a>,
        channels: &'a [Channel],
        levels: &dyn Fn(usize) -> Option<f64>,
    ) -> Self {
        let days = || channels.iter().flat_map(|c| c.values.iter().map(|v| v.day));
        let zero_day = days().fold(f64::INFINITY, f64::min);
        let by_level = plant.shape(Cause::Level, Some(0.1), channels);
        let by_level = by_level.map_or_else(|| vec![0.0; channels.len()], |s| s.per_size);
        let read: Vec<f64> = channels
            .iter()
            .flat_map(|c| c.values.iter().filter_map(|v| levels(v.entry)))
            .collect();
        let count: usize = channels.iter().map(|c| c.values.len()).sum();
        let level_known = 5 * read.len() >= 4 * count && count > 0;
        let usual_level = level_known.then(|| median(&read));
        let off: Vec<Vec<f64>> = channels
            .iter()
            .zip(&by_level)
            .map(|(c, per_m)| {
                let value = |v: &super::channel::ChannelValue| {
                    let lower = match (usual_level, levels(v.entry)) {
                        (Some(usual), Some(now)) => usual - now,
                        _ => 0.0,
                    };
                    v.value - c.unchanged - per_m * lower
                };
                c.values.iter().map(value).collect()
            })
            .collect();
        Self {
            wander_m: if level_known {
                0.01
            } else {
                wander_m(channels, &off)
            },
            knots: knots(channels),
            zero_day,
            last_day: days().fold(f64::NEG_INFINITY, f64::max),
            level_known,
            by_level,
            by_season: channels
                .iter()
                .map(|c| c.by_season(plant).unwrap_or_default())
                .collect(),
            off,
            plant,
            channels,
        }
    }

    fn shapes(&self, size: impl Fn(Cause) -> Option<f64>) -> Vec<CauseEffect> {
        CAUSES
            .iter()
            .filter(|c| !(self.level_known && **c == Cause::Level))
            .filter_map(|c| self.plant.shape(*c, size(*c), self.channels))
            .collect()
    }

    /// Read less computed less every change but one.
    fn without(&self, fitted: &[Fitted], but: Option<usize>) -> Vec<Vec<f64>> {
        self.channels
            .iter()
            .zip(&self.off)
            .enumerate()
            .map(|(k, (channel, off))| {
                let left = |(v, o): (&super::channel::ChannelValue, &f64)| {
                    let explained: f64 = fitted
                        .iter()
                        .enumerate()
                        .filter(|(i, _)| Some(*i) != but)
                        .map(|(_, f)| f.on(k, v.day))
                        .sum();
                    o - explained
                };
                channel.values.iter().zip(off).map(left).collect()
            })
            .collect()
    }

    fn sums(&self, left: &[Vec<f64>]) -> Vec<RunningSums> {
        self.channels
            .iter()
            .zip(left)
            .map(|(c, l)| RunningSums::of(c, l, self.zero_day))
            .collect()
    }

    /// A course with a cause: its size and how likely it is; `None` where too little shows it.
    fn weigh(
        &self,
        shape: &CauseEffect,
        course: &TimeCourse,
        scores: &[CourseScore],
    ) -> Option<FittedChange> {
        let (mut along, mut information, mut with_level, mut with_season) = (0.0, 0.0, 0.0, 0.0);
        // the channel that shows it most: it must have been read before, in and after the change
        let mut most = (0.0, (0, 0, 0));
        for (((score, per), level), season) in scores
            .iter()
            .zip(&shape.per_size)
            .zip(&self.by_level)
            .zip(&self.by_season)
        {
            if *per == 0.0 {
                continue;
            }
            along += per * score.along;
            information += per * per * score.information;
            with_level += per * level * score.information;
            with_season += per * season * score.information;
            let shown = per * per * score.information;
            if shown > most.0 {
                most = (shown, score.readings);
            }
        }
        let (before, within, after) = most.1;
        let over = course.until.is_finite();
        let read = before >= LEAST_READINGS
            && within >= LEAST_READINGS + usize::from(over)
            && (!over || after >= LEAST_READINGS);
        if information <= 0.0 || !read {
            return None;
        }
        // the level at the intake wanders by itself, and looks like a change of any cause
        let spread = if shape.cause == Cause::Level {
            0.0
        } else {
            with_level * self.wander_m
        };
        let variance = information + spread * spread + with_season * with_season;
        let free = along / information;
        let size = free.clamp(shape.range.0, shape.range.1);
        // of a size held at the end of its range, what is left of the ratio
        let explained = along * along - math::powi((free - size) * information, 2);
        let ratio = explained / (2.0 * variance);
        // most courses fall far short: their logarithms are not needed
        if ratio < 3.0 {
            return None;
        }
        let size_sd = variance.sqrt() / information;
        let expected = shape.usual * shape.usual + size_sd * size_sd;
        let sides = if shape.range.0 >= 0.0 { 2.0 } else { 1.0 };
        let occam = math::ln(sides * size_sd / expected.sqrt()) - 0.5 * size * size / expected;
        let pace = Pace::of(course.full - course.from);
        let prior = shape.cause.log_prior(pace, course.until.is_finite());
        Some(FittedChange {
            size,
            size_sd,
            ratio,
            fit: explained / (2.0 * information) + occam + prior,
            evidence: ratio + occam + prior,
        })
    }

    /// The best course of every cause in what is left, told by `keep`.
    fn best_of_each(
        &self,
        sums: &[RunningSums],
        shapes: &[CauseEffect],
        keep: &dyn Fn(&TimeCourse) -> bool,
        by: fn(&FittedChange) -> f64,
    ) -> Vec<Fitted> {
        let mut best: Vec<Option<Fitted>> = vec![None; shapes.len()];
        each_course(&self.knots, self.last_day, |course| {
            if !keep(&course) {
                return;
            }
            let scores: Vec<_> = sums.iter().map(|s| s.score(&course)).collect();
            for (shape, best) in shapes.iter().zip(&mut best) {
                let weighed = self.weigh(shape, &course, &scores);
                let better = |w: &FittedChange| {
                    best.as_ref()
                        .is_none_or(|f: &Fitted| by(w) > by(&f.weighed))
                };
                if let Some(weighed) = weighed.filter(better) {
                    *best = Some(Fitted::of(shape, course, weighed));
                }
            }
        });
        best.into_iter().flatten().collect()
    }

    /// Every change of the book, in the order of their beginnings.
    pub(super) fn changes(&self) -> Vec<Fitted> {
        let mut fitted: Vec<Fitted> = Vec::new();
        if self.knots.is_empty() {
            return fitted;
        }
        let shapes = self.shapes(|_| None);
        while fitted.len() < MOST {
            let sums = self.sums(&self.without(&fitted, None));
            // two changes over the same days would only take from each other
            let apart = |c: &TimeCourse| !fitted.iter().any(|f| self.alike(c, &f.course));
            let found = self.best_of_each(&sums, &shapes, &apart, |w| w.fit);
            let best = found
                .into_iter()
                .filter(|f| f.weighed.ratio >= BAR)
                .max_by(|a, b| a.weighed.fit.total_cmp(&b.weighed.fit));
            let Some(best) = best else { break };
            fitted.push(best);
            for _ in 0..ROUNDS {
                for i in 0..fitted.len() {
                    self.refit(&mut fitted, i);
                }
            }
        }
        fitted.retain(|f| f.weighed.ratio >= BAR);
        fitted.sort_by(|a, b| a.course.from.total_cmp(&b.course.from));
        fitted
    }

    /// Two courses of like length that share half of the shorter one's days.
    fn alike(&self, a: &TimeCourse, b: &TimeCourse) -> bool {
        let (a_end, b_end) = (a.until.min(self.last_day), b.until.min(self.last_day));
        let both = a_end.min(b_end) - a.from.max(b.from);
        let (a_days, b_days) = (a_end - a.from, b_end - b.from);
        let (short, long) = (a_days.min(b_days), a_days.max(b_days));
        both > 0.5 * short && long < 4.0 * short
    }

    /// One change again with the others held: its size, and its course near where it is, with the secant of its size.
    fn refit(&self, fitted: &mut [Fitted], i: usize) {
        let sums = self.sums(&self.without(fitted, Some(i)));
        let Some(now) = fitted.get(i).cloned() else {
            return;
        };
        let shape = self
            .plant
            .shape(now.cause, Some(now.weighed.size), self.channels);
        let scores: Vec<CourseScore> = sums.iter().map(|s| s.score(&now.course)).collect();
        let again = shape.and_then(|shape| {
            let weighed = self.weigh(&shape, &now.course, &scores)?;
            Some(Fitted::of(&shape, now.course, weighed))
        });
        if let (Some(again), Some(place)) = (again, fitted.get_mut(i)) {
            *place = again;
        }
    }

    /// The suspects of a change, the likeliest first: every cause with its best course that overlaps.
    pub(super) fn episode(&self, fitted: &[Fitted], i: usize) -> Option<Episode> {
        let now = fitted.get(i)?;
        let sums = self.sums(&self.without(fitted, Some(i)));
        let end = now.course.until.min(self.last_day);
        let span = (end - now.course.from).max(1.0);
        let near = |c: &TimeCourse| {
            let overlap = c.until.min(end) - c.from.max(now.course.from);
            let length = c.until.min(self.last_day) - c.from;
            overlap >= 0.5 * span && overlap >= 0.5 * length
        };
        let first = self.best_of_each(&sums, &self.shapes(|_| None), &near, |w| w.evidence);
        // once more with each at the size it would need
        let size = |cause: Cause| {
            first
                .iter()
                .find(|f| f.cause == cause)
                .map(|f| f.weighed.size)
        };
        let shapes = self.shapes(size);
        let mut all: Vec<Fitted> = shapes
            .iter()
            .filter_map(|s| {
                let course = first.iter().find(|f| f.cause == s.cause)?.course;
                let scores: Vec<CourseScore> = sums.iter().map(|s| s.score(&course)).collect();
                Some(Fitted::of(s, course, self.weigh(s, &course, &scores)?))
            })
            .collect();
        all.sort_by(|a, b| b.weighed.evidence.total_cmp(&a.weighed.evidence));
        let most = all.first()?.weighed.evidence;
        let total: f64 = all
            .iter()
            .map(|f| math::exp(f.weighed.evidence - most))
            .sum();
        let suspects: Vec<Suspect> = all
            .iter()
            .map(|f| self.suspect(f, math::exp(f.weighed.evidence - most) / total))
            .filter(|s| s.chance >= 0.01)
            .collect();
        Some(Episode {
            course: now.course,
            on_now: now.course.until.is_infinite(),
            ratio: now.weighed.ratio,
            next: super::next::next(self.plant, self.channels, &suspects),
            suspects,
        })
    }

    fn suspect(&self, fitted: &Fitted, chance: f64) -> Suspect {
        let change = self.plant.change(fitted.cause, fitted.weighed.size);
        let moves = |wish: Option<&crate::line::CaseWish>| {
            wish.and_then(|w| self.plant.gauge_moves_m(w, &change))
        };
        Suspect {
            cause: fitted.cause,
            chance,
            size: fitted.weighed.size,
            size_sd: fitted.weighed.size_sd,
            shut_m: moves(self.plant.wish(&crate::pipe::RunState::Shut)),
            running_m: moves(self.plant.largest.as_ref()),
            power_lost: self.plant.power_lost(&change),
            course: fitted.course,
        }
    }

    pub(super) fn last_day(&self) -> f64 {
        self.last_day
    }

    /// The first and the last day.
    pub(super) fn days(&self) -> (f64, f64) {
        (self.zero_day, self.last_day)
    }

    pub(super) fn wander_m(&self) -> f64 {
        self.wander_m
    }

    /// Entries that stand alone.
    pub(super) fn alone(&self) -> Vec<usize> {
        let values = self.channels.iter().flat_map(|c| &c.values);
        let mut out: Vec<usize> = values.filter(|v| v.alone).map(|v| v.entry).collect();
        out.sort_unstable();
        out.dedup();
        out
    }

    /// Every channel with what the changes explain of it.
    pub(super) fn rows(&self, fitted: &[Fitted]) -> Vec<Readings> {
        let left = self.without(fitted, None);
        let sums = self.sums(&left);
        self.channels
            .iter()
            .zip(&left)
            .zip(&sums)
            .map(|((c, left), sums)| Readings {
                kind: c.kind,
                state: c.state.clone(),
                station_m: c.dial.station_m,
                computed: c.unchanged,
                computed_sd: c.unchanged_sd,
                off: sums.level(),
                noise: c.noise,
                points: c
                    .values
                    .iter()
                    .zip(left)
                    .map(|(v, l)| ExplainedReading {
                        day: v.day,
                        read: v.value,
                        explained: v.value - l + sums.level(),
                        alone: v.alone,
                    })
                    .collect(),
            })
            .collect()
    }

    /// Rate of a change over its last days, size a day with its standard deviation, and the readings it rests on.
    pub(super) fn rate(&self, fitted: &[Fitted], i: usize, days: f64) -> Option<Rate> {
        let now = fitted.get(i)?;
        let left = self.without(fitted, Some(i));
        let from = (self.last_day - days).max(now.course.from);
        // weighted straight line through the sizes that single readings ask for
        let (mut n, mut t1, mut t2, mut y0, mut y1, mut count) = (0.0, 0.0, 0.0, 0.0, 0.0, 0);
        for ((channel, left), per) in self.channels.iter().zip(&left).zip(&now.per_size) {
            let w = math::powi(per / channel.noise, 2);
            if w <= 0.0 {
                continue;
            }
            // the channel's level as the other days have it
            let others: Vec<f64> = channel
                .values
                .iter()
                .zip(left)
                .map(|(v, l)| l - now.on_with(per, v.day))
                .collect();
            let level = RunningSums::of(channel, &others, self.zero_day).level();
            for (v, l) in channel.values.iter().zip(left) {
                if v.alone || v.day < from {
                    continue;
                }
                let t = v.day - self.last_day;
                let size = (l - level) / per;
                n += w;
                t1 += w * t;
                t2 += w * t * t;
                y0 += w * size;
                y1 += w * t * size;
                count += 1;
            }
        }
        let d = n * t2 - t1 * t1;
        (d > 0.0).then(|| Rate {
            per_day: (n * y1 - t1 * y0) / d,
            per_day_sd: (n / d).sqrt(),
            now: (t2 * y0 - t1 * y1) / d,
            now_sd: (t2 / d).sqrt(),
            readings: count,
            over_days: self.last_day - from,
        })
    }
}

/// How fast a change grows.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rate {
    pub(super) per_day: f64,
    pub(super) per_day_sd: f64,
    pub(super) now: f64,
    pub(super) now_sd: f64,
    pub(super) readings: usize,
    pub(super) over_days: f64,
}
