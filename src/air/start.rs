//! The start on every equally likely line: verdict, margins, probability, and the reaches that decide.

use super::course::StartupLine;
use super::startup::{CrestState, Ends, Outcome};
use super::{Decider, Start, StartVerdict};
use crate::line::Geometry;
use crate::numeric::math;
use crate::profile::Profile;

/// One equally likely line, run once: enough to run it again with other vents in the worst case.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct StartTrial {
    pub(super) ends: Ends,
    pub(super) last_m: f64,
    pub(super) outcome: Outcome,
}

impl StartTrial {
    pub(super) fn run(
        piped: &StartupLine,
        heights_m: &[f64],
        vents_m: &[f64],
        primed_to_m: f64,
    ) -> Self {
        let heights = piped.heights(heights_m);
        let course = piped.course(&heights);
        let humps = course.humps();
        let ends = piped.ends(&heights);
        Self {
            ends,
            last_m: course.last_m(&humps, primed_to_m),
            outcome: course.start_primed(&humps, ends, vents_m, primed_to_m),
        }
    }

    /// Margin of the worst case, m.
    pub(super) fn worst_m(&self) -> f64 {
        self.outcome.margin_worst_m(self.ends)
    }

    /// Margin with the air squeezed, m.
    pub(super) fn squeezed_m(&self) -> f64 {
        self.outcome.margin_squeezed_m(self.ends)
    }

    /// Margin of the worst case, m, with more crests vented, each told by its place in the list.
    pub(super) fn margin_with_m(&self, vented: impl Fn(usize) -> bool) -> f64 {
        let needs =
            self.outcome
                .crests
                .iter()
                .enumerate()
                .rev()
                .fold(self.last_m, |needs, (i, crest)| {
                    if crest.primed {
                        needs
                    } else if crest.vented || vented(i) {
                        needs.max(crest.height_m)
                    } else {
                        needs.max(crest.height_m - crest.sealed_m) + crest.sealed_m
                    }
                });
        self.ends.level_m - needs
    }
}

/// The mean line and every draw, run with the same vents.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Trials {
    pub(super) mean: StartTrial,
    pub(super) draws: Vec<StartTrial>,
}

/// Crests that are followed over all lines together, at most: on a line of hundreds of crests fewer lines tell as much.
const MOST_CRESTS: usize = 200_000;

/// Lines that are run in any case.
const LEAST_DRAWS: usize = 200;

impl Trials {
    /// With these vents, and the siphon at the intake filled by hand up to a station, m (minus infinity: not).
    pub(super) fn of(
        geometry: &Geometry,
        piped: &StartupLine,
        vents_m: &[f64],
        primed_to_m: f64,
    ) -> Self {
        let mean = StartTrial::run(piped, &geometry.heights.mean_m, vents_m, primed_to_m);
        let all = &geometry.heights.draws;
        let most = (MOST_CRESTS / mean.outcome.crests.len().max(1)).max(LEAST_DRAWS);
        let mut draws: Vec<StartTrial> = all
            .iter()
            .step_by(all.len().div_ceil(most).max(1))
            .map(|draw| StartTrial::run(piped, draw, vents_m, primed_to_m))
            .collect();
        if draws.is_empty() {
            draws.push(mean.clone());
        }
        Self { mean, draws }
    }

    /// Standard deviation of the worst margin, m.
    pub(super) fn margin_sd_m(&self) -> f64 {
        mean_sd(self.draws.iter().map(StartTrial::worst_m)).1
    }
}

/// Share of items that a question is answered yes for.
pub(super) fn share<T>(items: &[T], yes: impl Fn(&T) -> bool) -> f64 {
    if items.is_empty() {
        return 0.0;
    }
    items.iter().filter(|t| yes(t)).count() as f64 / items.len() as f64
}

/// Mean and standard deviation.
pub(super) fn mean_sd(values: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    let count = values.clone().count().max(1) as f64;
    let mean = values.clone().sum::<f64>() / count;
    let square = values.map(|v| math::powi(v - mean, 2)).sum::<f64>() / count;
    (mean, square.sqrt())
}

/// The verdict from the trials.
pub(super) fn start(geometry: &Geometry, profile: &Profile, trials: &Trials) -> Start {
    let sure = geometry.heights.sure();
    let probability_starts = share(&trials.draws, |t| t.worst_m() > 0.0);
    let probability_compressed = share(&trials.draws, |t| t.squeezed_m() > 0.0);
    let verdict = if probability_starts >= sure {
        StartVerdict::Starts
    } else if 1.0 - probability_compressed >= sure {
        StartVerdict::Locks
    } else if probability_compressed >= sure {
        StartVerdict::MayStart
    } else {
        StartVerdict::CannotTell
    };
    Start {
        verdict,
        margin_worst_m: trials.mean.worst_m(),
        margin_compressed_m: trials.mean.squeezed_m(),
        margin_sd_m: trials.margin_sd_m(),
        probability_starts,
        probability_compressed,
        decided_by: deciders(profile, &trials.mean.outcome.crests, &trials.draws),
        crests: trials.mean.outcome.crests.clone(),
    }
}

/// The reaches that decide: climbs that are listed, and any other that seals on the mean line.
fn deciders(profile: &Profile, mean: &[CrestState], trials: &[StartTrial]) -> Vec<Decider> {
    let behind = |from: f64, to: f64| {
        mean.iter()
            .filter(|c| (from..=to).contains(&c.station_m))
            .map(|c| c.next_low_station_m)
            .fold(to, f64::max)
    };
    let mut reaches: Vec<(f64, f64)> = profile
        .climbs
        .iter()
        .map(|c| {
            let from = c.reach_from_m.min(c.low_station_m);
            (
                from,
                behind(from, c.reach_to_m.max(c.crest_station_m).max(c.crest_to_m)),
            )
        })
        .collect();
    for crest in mean {
        let known = |r: &(f64, f64)| (r.0..=r.1).contains(&crest.station_m);
        if !reaches.iter().any(known) {
            reaches.push((crest.low_station_m, crest.next_low_station_m));
        }
    }
    let mut out: Vec<Decider> = reaches
        .into_iter()
        .filter_map(|(from_m, to_m)| {
            let eaten: Vec<f64> = trials
                .iter()
                .map(|t| {
                    let crests = t.outcome.crests_within(from_m, to_m);
                    crests.iter().map(|c| c.sealed_m).sum()
                })
                .collect();
            let (head_m, head_sd_m) = mean_sd(eaten.iter().copied());
            let share = share(&eaten, |&h| h > 0.0);
            (share > 0.05).then_some(Decider {
                from_m,
                to_m,
                head_m,
                head_sd_m,
                share,
            })
        })
        .collect();
    out.sort_by(|a, b| {
        let weight = |d: &Decider| d.head_m + 2.0 * d.head_sd_m;
        weight(b)
            .total_cmp(&weight(a))
            .then(a.from_m.total_cmp(&b.from_m))
    });
    out
}
