//! The smallest set of crests to vent so that the worst case starts with a margin.

use super::Cure;
use super::sets::{Cover, VentCandidate, VentedLine, best_of_each_size, every_set};
use super::start::{StartTrial, Trials, share};
use crate::line::Geometry;
use crate::profile::Profile;

/// Up to so many crests every set is tried.
const ALL_SETS_UP_TO: usize = 12;

/// What a set of vents reaches.
#[derive(Debug, Clone, PartialEq)]
struct Reached {
    set: Vec<usize>,
    margin_m: f64,
    probability: f64,
}

/// The smallest cure with somebody there and, beside it, with nobody there. No vent primes a siphon: there the second is the first.
pub(super) fn place_vents(
    geometry: &Geometry,
    profile: &Profile,
    attended: &Trials,
    unattended: &Trials,
    wanted_m: f64,
    draws_air: impl Fn(f64) -> bool,
) -> Cure {
    let with_somebody = search(geometry, profile, attended, wanted_m, |_| true);
    let primed = attended.mean.outcome.crests.iter().any(|c| c.primed);
    let alone = if primed {
        with_somebody.clone()
    } else {
        search(geometry, profile, unattended, wanted_m, |s| !draws_air(s))
    };
    Cure {
        unattended_m: alone.stations_m,
        starts_unattended: alone.starts,
        ..with_somebody
    }
}

fn search(
    geometry: &Geometry,
    profile: &Profile,
    trials: &Trials,
    wanted_m: f64,
    may_stand: impl Fn(f64) -> bool,
) -> Cure {
    let mut candidates = candidates(geometry, profile, &trials.mean, &trials.draws);
    candidates.retain(|c| may_stand(c.station_m));
    let task = Task::new(
        trials,
        &candidates,
        wanted_m + trials.margin_sd_m(),
        geometry.heights.sure(),
    );
    let all_sets = candidates.len() <= ALL_SETS_UP_TO;
    let sets = if all_sets {
        every_set(candidates.len())
    } else {
        best_of_each_size(&trials.mean, &candidates)
    };
    let best = task.smallest(&sets);
    let mut stations_m: Vec<f64> = best
        .set
        .iter()
        .filter_map(|&i| candidates.get(i))
        .map(|c| c.station_m)
        .collect();
    stations_m.sort_by(f64::total_cmp);
    Cure {
        stations_m,
        margin_m: best.margin_m,
        wanted_margin_m: task.wanted_margin_m,
        probability: best.probability,
        enough: task.is_enough(&best),
        candidates: candidates.len(),
        all_sets,
        starts: best.probability >= task.sure,
        unattended_m: Vec::new(),
        starts_unattended: false,
    }
}

/// Crests that seal on the mean line without a vent, then listed climbs that seal in some of the draws only.
fn candidates(
    geometry: &Geometry,
    profile: &Profile,
    mean: &StartTrial,
    trials: &[StartTrial],
) -> Vec<VentCandidate> {
    let slack = (3.0 * geometry.station_sd_m).max(0.5);
    let mut out: Vec<VentCandidate> = mean
        .outcome
        .crests
        .iter()
        .filter(|c| !c.vented && !c.primed)
        .map(|c| {
            let climb = profile
                .climbs
                .iter()
                .find(|p| (p.crest_from_m..=p.crest_to_m).contains(&c.station_m));
            let (from, to) = climb.map_or((c.station_m, c.station_m), |p| {
                (p.crest_from_m, p.crest_to_m)
            });
            VentCandidate {
                station_m: c.station_m,
                from_m: from - slack,
                to_m: to + slack,
            }
        })
        .collect();
    for climb in &profile.climbs {
        let candidate = VentCandidate {
            station_m: climb.crest_station_m,
            from_m: climb.crest_from_m - slack,
            to_m: climb.crest_to_m + slack,
        };
        let known = out.iter().any(|c| candidate.covers(c.station_m));
        let unvented = |t: &StartTrial| {
            t.outcome
                .crests_within(candidate.from_m, candidate.to_m)
                .iter()
                .any(|c| !c.vented && !c.primed)
        };
        if !known && share(trials, unvented) > 0.05 {
            out.push(candidate);
        }
    }
    out
}

struct Task<'a> {
    mean: VentedLine<'a>,
    trials: Vec<VentedLine<'a>>,
    candidates: &'a [VentCandidate],
    wanted_margin_m: f64,
    sure: f64,
}

impl<'a> Task<'a> {
    /// Draws a set is held against while searching; the chosen one is held against all.
    const SCREEN: usize = 300;

    fn new(
        trials: &'a Trials,
        candidates: &'a [VentCandidate],
        wanted_margin_m: f64,
        sure: f64,
    ) -> Self {
        let cover = Cover::new(candidates);
        let draws = trials.draws.iter();
        Self {
            mean: VentedLine::new(&trials.mean, &cover),
            trials: draws.map(|t| VentedLine::new(t, &cover)).collect(),
            candidates,
            wanted_margin_m,
            sure,
        }
    }

    fn reach(&self, set: &[usize], trials: &[VentedLine<'_>]) -> Reached {
        let mut chosen = vec![false; self.candidates.len()];
        for &i in set {
            if let Some(vent) = chosen.get_mut(i) {
                *vent = true;
            }
        }
        Reached {
            set: set.to_vec(),
            margin_m: self.mean.margin_m(&chosen),
            probability: share(trials, |t| t.margin_m(&chosen) > 0.0),
        }
    }

    fn is_enough(&self, reached: &Reached) -> bool {
        reached.margin_m >= self.wanted_margin_m && reached.probability >= self.sure
    }

    /// The smallest set that reaches what is asked for, the largest margin among those of its size; else the smallest that starts surely; else the best there is.
    fn smallest(&self, sets: &[Vec<usize>]) -> Reached {
        let screen = self
            .trials
            .get(..Self::SCREEN.min(self.trials.len()))
            .unwrap_or_default();
        let reached: Vec<Reached> = sets.iter().map(|s| self.reach(s, screen)).collect();
        let better = |a: &&Reached, b: &&Reached| {
            b.set
                .len()
                .cmp(&a.set.len())
                .then(a.margin_m.total_cmp(&b.margin_m))
                .then(a.probability.total_cmp(&b.probability))
        };
        let least = |asked: &dyn Fn(&Reached) -> bool| {
            let mut fit: Vec<&Reached> = reached.iter().filter(|r| asked(r)).collect();
            fit.sort_by(|a, b| better(b, a));
            fit.into_iter()
                .map(|r| self.reach(&r.set, &self.trials))
                .find(|r| asked(r))
        };
        let best = || {
            reached
                .iter()
                .max_by(|a, b| {
                    a.margin_m
                        .total_cmp(&b.margin_m)
                        .then(a.probability.total_cmp(&b.probability))
                        .then(b.set.len().cmp(&a.set.len()))
                })
                .map(|r| self.reach(&r.set, &self.trials))
        };
        least(&|r| self.is_enough(r))
            .or_else(|| least(&|r| r.margin_m > 0.0 && r.probability >= self.sure))
            .or_else(best)
            .unwrap_or(Reached {
                set: Vec::new(),
                margin_m: 0.0,
                probability: 0.0,
            })
    }
}

#[cfg(test)]
mod tests {
    use super::super::startup::{CrestState, Ends, Outcome};
    use super::*;
    use crate::numeric::Rng;

    fn trial(draws: &mut Rng, crests: usize) -> StartTrial {
        let mut low = 100.0 + draws.between(0.0, 20.0);
        let mut list = Vec::new();
        for i in 0..crests {
            let height_m = low + draws.between(0.5, 30.0);
            low = height_m - draws.between(1.0, 25.0);
            list.push(CrestState {
                station_m: 10.0 * i as f64,
                height_m,
                next_low_m: low,
                sealed_m: height_m - low,
                vented: draws.uniform() < 0.1,
                ..CrestState::default()
            });
        }
        StartTrial {
            ends: Ends {
                level_m: 150.0,
                air_head_m: 10.0,
            },
            last_m: low + draws.between(1.0, 12.0),
            outcome: Outcome {
                crests: list,
                ..Outcome::default()
            },
        }
    }

    #[test]
    fn the_table_finds_the_best_set_of_every_size() {
        let mut draws = Rng::new(7);
        for _ in 0..200 {
            let mean = trial(&mut draws, 7);
            let candidates: Vec<VentCandidate> = mean
                .outcome
                .crests
                .iter()
                .filter(|c| !c.vented)
                .map(|c| VentCandidate {
                    station_m: c.station_m,
                    from_m: c.station_m,
                    to_m: c.station_m,
                })
                .collect();
            let trials = Trials {
                draws: vec![mean.clone()],
                mean: mean.clone(),
            };
            let task = Task::new(&trials, &candidates, 1.0, 0.9);
            let margin = |set: &[usize]| task.reach(set, &[]).margin_m;
            for set in best_of_each_size(&mean, &candidates) {
                let best = every_set(candidates.len())
                    .into_iter()
                    .filter(|s| s.len() == set.len())
                    .map(|s| margin(&s))
                    .fold(f64::NEG_INFINITY, f64::max);
                assert!((margin(&set) - best).abs() < 1e-9, "{set:?}");
            }
        }
    }

    /// A line as rough as noise makes it: the search ends, and all vents set do better than none.
    #[test]
    fn hundreds_of_crests_are_searched() {
        let mut draws = Rng::new(3);
        let trials = Trials {
            mean: trial(&mut draws, 250),
            draws: (0..40).map(|_| trial(&mut draws, 250)).collect(),
        };
        let candidates: Vec<VentCandidate> = (0..250)
            .map(|i| 10.0 * f64::from(i))
            .map(|station_m| VentCandidate {
                station_m,
                from_m: station_m - 1.0,
                to_m: station_m + 1.0,
            })
            .collect();
        let task = Task::new(&trials, &candidates, 1.0, 0.9);
        let sets = best_of_each_size(&trials.mean, &candidates);
        assert!(sets.len() < 80);
        let margin = |set: &[usize]| task.reach(set, &[]).margin_m;
        let (none, most) = (margin(&[]), margin(sets.last().unwrap()));
        assert!(task.smallest(&sets).margin_m > none && most > none);
    }
}
