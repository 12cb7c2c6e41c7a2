use super::fall::FallProblem;
use super::hold::bounds;
use super::{RegradeKind, Remaining};
use crate::line::Line;
use crate::numeric::series;

/// How sure a regraded reach is wanted to be.
const WANTED: f64 = 0.90;
/// Share of the draws whose lack is made good at each station, round after round.
const PARTS: [f64; 12] = [
    0.90, 0.90, 0.90, 0.93, 0.93, 0.95, 0.95, 0.97, 0.97, 0.98, 0.99, 0.99,
];
/// Stations on both sides of a changed reach that are judged with it, m.
const MARGIN_M: f64 = 6.0;

/// How sure a plan is to make its reaches fall, and the extra that makes it so.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Sure {
    /// Share of draws that fall with the plan's changes.
    pub(super) share: Option<f64>,
    /// What to add, m, one a station; `None` where no extra does.
    pub(super) extra_m: Option<Vec<f64>>,
    /// Share of draws that fall with the extra.
    pub(super) share_with_extra: Option<f64>,
}

/// A reach that is changed, with its margins, as indices of stations.
type ChangedReach = std::ops::Range<usize>;

impl Sure {
    /// Judges a plan on the draws of the heights.
    ///
    /// The stakes tell changes, so in each draw the line after the work is that draw plus the changes. It falls where no point stands higher than one above it by more than half a bore.
    /// Where too few draws fall, each station is given what nine draws in ten still lack there; what that leaves is judged again, and again, with ever more draws in ten, until nine in ten fall as a whole.
    /// What the plan leaves climbing is judged with what it changes: a plan that leaves a climb is not sure to make the line fall.
    pub(super) fn of(
        line: &Line,
        kind: RegradeKind,
        ground: &FallProblem<'_>,
        change_m: &[f64],
        remaining: &[Remaining],
    ) -> Self {
        let draws = &line.geometry.heights.draws;
        if draws.len() < 2 {
            return Self {
                extra_m: Some(vec![0.0; change_m.len()]),
                ..Self::default()
            };
        }
        let changed = reaches(ground.station_m, change_m);
        // A plan that can change nothing makes nothing fall: there is no share to tell.
        if changed.is_empty() {
            return Self {
                extra_m: Some(vec![0.0; change_m.len()]),
                ..Self::default()
            };
        }
        let left = left(ground.station_m, remaining);
        let judge = MarginJudge {
            line,
            ground,
            reaches: merged(changed, &left),
            digs: kind != RegradeKind::Prop,
        };
        let share = judge.share(change_m);
        if share >= WANTED {
            return Self {
                share: Some(share),
                extra_m: Some(vec![0.0; change_m.len()]),
                share_with_extra: Some(share),
            };
        }
        let mut extra = vec![0.0; change_m.len()];
        for part in PARTS {
            let now = added(change_m, &extra);
            // What is dug or propped beside the reach is judged with it.
            let judge = MarginJudge {
                reaches: merged(reaches(ground.station_m, &now), &left),
                ..judge
            };
            let reached = judge.share(&now);
            if reached >= WANTED {
                return Self {
                    share: Some(share),
                    share_with_extra: Some(reached),
                    extra_m: Some(extra),
                };
            }
            extra = added(&extra, &judge.extra(&now, &judge.lack(&now, part)));
        }
        Self {
            share: Some(share),
            ..Self::default()
        }
    }
}

fn added(change_m: &[f64], extra_m: &[f64]) -> Vec<f64> {
    change_m.iter().zip(extra_m).map(|(c, e)| c + e).collect()
}

/// The reaches that change, each with its margins, merged where they meet.
fn reaches(station_m: &[f64], change_m: &[f64]) -> Vec<ChangedReach> {
    let mut out: Vec<ChangedReach> = Vec::new();
    for (i, (&s, &c)) in station_m.iter().zip(change_m).enumerate() {
        if c == 0.0 {
            continue;
        }
        let from = station_m
            .partition_point(|x| *x < s - MARGIN_M)
            .min(i.saturating_sub(1));
        let to = station_m
            .partition_point(|x| *x <= s + MARGIN_M)
            .max((i + 2).min(station_m.len()));
        match out.last_mut() {
            Some(last) if from <= last.end => last.end = last.end.max(to),
            _ => out.push(from..to),
        }
    }
    out
}

/// The reaches that still climb after the work, with the stations on both sides.
fn left(station_m: &[f64], remaining: &[Remaining]) -> Vec<ChangedReach> {
    remaining
        .iter()
        .map(|r| {
            let from = station_m.partition_point(|x| *x < r.from_m - 1e-6);
            let to = station_m.partition_point(|x| *x <= r.to_m + 1e-6);
            from.saturating_sub(1)..(to + 1).min(station_m.len())
        })
        .collect()
}

/// Both lists in order, joined where they meet.
fn merged(changed: Vec<ChangedReach>, left: &[ChangedReach]) -> Vec<ChangedReach> {
    let mut all = changed;
    all.extend(left.iter().cloned());
    all.sort_by_key(|r| (r.start, r.end));
    let mut out: Vec<ChangedReach> = Vec::new();
    for reach in all {
        match out.last_mut() {
            Some(last) if reach.start <= last.end => last.end = last.end.max(reach.end),
            _ => out.push(reach),
        }
    }
    out
}

struct MarginJudge<'a> {
    line: &'a Line,
    ground: &'a FallProblem<'a>,
    reaches: Vec<ChangedReach>,
    digs: bool,
}

impl MarginJudge<'_> {
    /// Half a bore at a station, m: a smaller rise is no climb.
    fn threshold_m(&self, i: usize) -> f64 {
        let station = series::at(self.ground.station_m, i);
        self.line
            .reaches
            .at(station)
            .map_or(0.0, |r| 0.5 * r.pipe.inner_diameter_m)
    }

    /// Share of draws that fall in every changed reach.
    fn share(&self, change_m: &[f64]) -> f64 {
        let draws = &self.line.geometry.heights.draws;
        let falls = draws
            .iter()
            .filter(|draw| self.reaches.iter().all(|r| self.falls(draw, change_m, r)))
            .count();
        falls as f64 / draws.len().max(1) as f64
    }

    fn falls(&self, draw: &[f64], change_m: &[f64], reach: &ChangedReach) -> bool {
        let threshold = self.threshold_m(reach.start);
        let mut low = f64::INFINITY;
        within(draw, change_m, reach).all(|y| {
            low = low.min(y);
            y - low <= threshold
        })
    }

    /// What a part of the draws still lacks at most at each station: how far it stands above the lowest point before it (or below the highest after it, for propping), beyond the threshold.
    fn lack(&self, change_m: &[f64], part: f64) -> Vec<f64> {
        let mut lack = vec![0.0; change_m.len()];
        let draws = &self.line.geometry.heights.draws;
        let mut y: Vec<f64> = Vec::new();
        for reach in &self.reaches {
            let threshold = self.threshold_m(reach.start);
            // Most draws lack nothing at most stations: only what is lacking is listed.
            let mut by_station: Vec<Vec<f64>> = vec![Vec::new(); reach.len()];
            for draw in draws {
                y.clear();
                y.extend(within(draw, change_m, reach));
                let each = by_station.iter_mut().zip(&y);
                let note = |list: &mut Vec<f64>, lacks: f64| {
                    if lacks > 0.0 {
                        list.push(lacks);
                    }
                };
                if self.digs {
                    let mut low = f64::INFINITY;
                    for (list, &y) in each {
                        low = low.min(y);
                        note(list, y - low - threshold);
                    }
                } else {
                    let mut high = f64::NEG_INFINITY;
                    for (list, &y) in each.rev() {
                        high = high.max(y);
                        note(list, high - y - threshold);
                    }
                }
            }
            let at = ((draws.len() as f64 * part) as usize).min(draws.len().saturating_sub(1));
            for (slot, mut list) in lack.iter_mut().skip(reach.start).zip(by_station) {
                let nothing = draws.len().saturating_sub(list.len());
                *slot = match at.checked_sub(nothing) {
                    Some(at) if at < list.len() => {
                        *list.select_nth_unstable_by(at, f64::total_cmp).1
                    }
                    _ => 0.0,
                };
            }
        }
        lack
    }

    /// The extra: the lack laid on the plan, made to fall again, kept within the held stations.
    fn extra(&self, change_m: &[f64], lack_m: &[f64]) -> Vec<f64> {
        let sign = if self.digs { -1.0 } else { 1.0 };
        let levelled: Vec<f64> = self
            .ground
            .levelled()
            .iter()
            .zip(change_m)
            .map(|(u, c)| u + c)
            .collect();
        let bounds = bounds(&levelled, self.ground.held);
        let mut moved: Vec<f64> = levelled
            .iter()
            .zip(lack_m)
            .zip(&bounds)
            .map(
                |((u, lack), b)| {
                    if b.is_held { *u } else { u + sign * lack }
                },
            )
            .collect();
        // Carried on downhill (or uphill, for propping) until the line is below (above) it anyway; the held stations stop it.
        let mut reach = if self.digs {
            f64::INFINITY
        } else {
            f64::NEG_INFINITY
        };
        let carry = |m: &mut f64, b: &super::hold::HeldBounds, reach: &mut f64| {
            if b.is_held {
                *reach = *m;
            } else if self.digs {
                *reach = reach.min(*m);
                *m = reach.max(b.below.min(*m));
            } else {
                *reach = reach.max(*m);
                *m = reach.min(b.above.max(*m));
            }
        };
        if self.digs {
            for (m, b) in moved.iter_mut().zip(&bounds) {
                carry(m, b, &mut reach);
            }
        } else {
            for (m, b) in moved.iter_mut().zip(&bounds).rev() {
                carry(m, b, &mut reach);
            }
        }
        moved
            .iter()
            .zip(&levelled)
            .map(|(m, u)| {
                let extra = m - u;
                if extra.abs() < 0.002 { 0.0 } else { extra }
            })
            .collect()
    }
}

fn within<'a>(
    draw: &'a [f64],
    change_m: &'a [f64],
    reach: &ChangedReach,
) -> impl Iterator<Item = f64> + 'a {
    draw.iter()
        .zip(change_m)
        .skip(reach.start)
        .take(reach.len())
        .map(|(z, c)| z + c)
}
