//! The smallest set of crests to vent so that the worst case starts with a margin.

use super::Cure;
use super::start::{Trial, Trials, share, sure};
use crate::line::Line;
use crate::profile::Profile;

/// Up to so many crests every set is tried.
const ALL_SETS_UP_TO: usize = 12;

/// A crest that could be vented: where the crew looks for its highest place.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Candidate {
    station_m: f64,
    from_m: f64,
    to_m: f64,
}

impl Candidate {
    fn covers(&self, station_m: f64) -> bool {
        (self.from_m..=self.to_m).contains(&station_m)
    }
}

/// What a set of vents reaches.
#[derive(Debug, Clone, PartialEq)]
struct Reached {
    set: Vec<usize>,
    margin_m: f64,
    probability: f64,
}

/// The smallest cure with somebody there and, beside it, with nobody there. No vent primes a siphon: there the second is the first.
pub(super) fn cure(
    line: &Line,
    profile: &Profile,
    attended: &Trials,
    unattended: &Trials,
    wanted_m: f64,
) -> Cure {
    let with_somebody = search(line, profile, attended, wanted_m);
    let primed = attended.mean.outcome.crests.iter().any(|c| c.primed);
    Cure {
        unattended_m: if primed {
            with_somebody.stations_m.clone()
        } else {
            search(line, profile, unattended, wanted_m).stations_m
        },
        ..with_somebody
    }
}

fn search(line: &Line, profile: &Profile, trials: &Trials, wanted_m: f64) -> Cure {
    let candidates = candidates(line, profile, &trials.mean, &trials.draws);
    let task = Task {
        mean: &trials.mean,
        trials: &trials.draws,
        candidates: &candidates,
        wanted_margin_m: wanted_m + trials.margin_sd_m(),
        sure: sure(line),
    };
    let all_sets = candidates.len() <= ALL_SETS_UP_TO;
    let sets = if all_sets {
        every_set(candidates.len())
    } else {
        best_of_each_size(&task)
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
        unattended_m: Vec::new(),
    }
}

/// Crests that seal on the mean line without a vent, then listed climbs that seal in some of the draws only.
fn candidates(line: &Line, profile: &Profile, mean: &Trial, trials: &[Trial]) -> Vec<Candidate> {
    let slack = (3.0 * line.station_sd_m).max(0.5);
    let mut out: Vec<Candidate> = mean
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
            Candidate {
                station_m: c.station_m,
                from_m: from - slack,
                to_m: to + slack,
            }
        })
        .collect();
    for climb in &profile.climbs {
        let candidate = Candidate {
            station_m: climb.crest_station_m,
            from_m: climb.crest_from_m - slack,
            to_m: climb.crest_to_m + slack,
        };
        let known = out.iter().any(|c| candidate.covers(c.station_m));
        let unvented = |t: &Trial| {
            t.outcome
                .crests
                .iter()
                .any(|c| !c.vented && !c.primed && candidate.covers(c.station_m))
        };
        if !known && share(trials, unvented) > 0.05 {
            out.push(candidate);
        }
    }
    out
}

/// Every set of so many things, smaller sets first, in a fixed order.
fn every_set(count: usize) -> Vec<Vec<usize>> {
    let mut sets: Vec<Vec<usize>> = (0..1_u32 << count)
        .map(|bits| (0..count).filter(|i| bits >> i & 1 == 1).collect())
        .collect();
    sets.sort_by_key(Vec::len);
    sets
}

/// Beyond that: the best set of each size, exactly, on the mean line.
///
/// The head needed above a crest rises with the head needed below it, so the least head for k vents from crest i on rests only on the least for k and k-1 vents
/// from crest i+1 on: a table of crests by number of vents. Doubtful crests, which the mean line does not show, are added one by one after them.
fn best_of_each_size(task: &Task<'_>) -> Vec<Vec<usize>> {
    let crests = &task.mean.outcome.crests;
    let open: Vec<usize> = crests
        .iter()
        .map(|c| {
            task.candidates
                .iter()
                .position(|k| !c.vented && !c.primed && k.station_m == c.station_m)
        })
        .map(|k| k.unwrap_or(usize::MAX))
        .collect();
    let mut table: Vec<(f64, Vec<usize>)> = vec![(task.mean.last_m, Vec::new())];
    for (crest, &candidate) in crests.iter().zip(&open).rev() {
        let passed = |needs: f64| needs.max(crest.height_m);
        let full = |needs: f64| needs.max(crest.height_m - crest.sealed_m) + crest.sealed_m;
        let mut next: Vec<(f64, Vec<usize>)> = table
            .iter()
            .map(|(needs, set)| {
                (
                    if crest.primed {
                        *needs
                    } else if crest.vented {
                        passed(*needs)
                    } else {
                        full(*needs)
                    },
                    set.clone(),
                )
            })
            .collect();
        if candidate != usize::MAX {
            for (k, (needs, set)) in table.iter().enumerate() {
                let mut with = set.clone();
                with.push(candidate);
                let entry = (passed(*needs), with);
                match next.get_mut(k + 1) {
                    Some(there) if entry.0 < there.0 => *there = entry,
                    Some(_) => {}
                    None => next.push(entry),
                }
            }
        }
        table = next;
    }
    let mut sets: Vec<Vec<usize>> = table.into_iter().map(|(_, set)| set).collect();
    let doubtful = (0..task.candidates.len()).filter(|i| !open.contains(i));
    for i in doubtful {
        let mut larger = sets.last().cloned().unwrap_or_default();
        larger.push(i);
        sets.push(larger);
    }
    sets
}

struct Task<'a> {
    mean: &'a Trial,
    trials: &'a [Trial],
    candidates: &'a [Candidate],
    wanted_margin_m: f64,
    sure: f64,
}

impl Task<'_> {
    /// Draws a set is held against while searching; the chosen one is held against all.
    const SCREEN: usize = 300;

    fn covered(&self, set: &[usize], station_m: f64) -> bool {
        set.iter()
            .filter_map(|&i| self.candidates.get(i))
            .any(|c| c.covers(station_m))
    }

    fn probability(&self, set: &[usize], trials: &[Trial]) -> f64 {
        share(trials, |t| t.margin_with_m(|s| self.covered(set, s)) > 0.0)
    }

    fn reach(&self, set: &[usize], trials: &[Trial]) -> Reached {
        Reached {
            set: set.to_vec(),
            margin_m: self.mean.margin_with_m(|s| self.covered(set, s)),
            probability: self.probability(set, trials),
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
                .map(|r| self.reach(&r.set, self.trials))
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
                .map(|r| self.reach(&r.set, self.trials))
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
    use super::super::lock::{CrestState, Ends, Outcome};
    use super::*;
    use crate::numeric::Draws;

    fn trial(draws: &mut Draws, crests: usize) -> Trial {
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
        Trial {
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
        let mut draws = Draws::new(7);
        for _ in 0..200 {
            let mean = trial(&mut draws, 7);
            let candidates: Vec<Candidate> = mean
                .outcome
                .crests
                .iter()
                .filter(|c| !c.vented)
                .map(|c| Candidate {
                    station_m: c.station_m,
                    from_m: c.station_m,
                    to_m: c.station_m,
                })
                .collect();
            let trials = [mean.clone()];
            let task = Task {
                mean: &mean,
                trials: &trials,
                candidates: &candidates,
                wanted_margin_m: 1.0,
                sure: 0.9,
            };
            let margin = |set: &[usize]| mean.margin_with_m(|s| task.covered(set, s));
            for set in best_of_each_size(&task) {
                let best = every_set(candidates.len())
                    .into_iter()
                    .filter(|s| s.len() == set.len())
                    .map(|s| margin(&s))
                    .fold(f64::NEG_INFINITY, f64::max);
                assert!((margin(&set) - best).abs() < 1e-9, "{set:?}");
            }
        }
    }
}
