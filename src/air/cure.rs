//! The smallest set of crests to vent so that the worst case starts with a margin.

use super::Cure;
use super::cover::{Candidate, Cover};
use super::start::{Trial, Trials, share, sure};
use crate::line::Line;
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
    let task = Task::new(
        trials,
        &candidates,
        wanted_m + trials.margin_sd_m(),
        sure(line),
    );
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
    let crests = &task.mean.trial.outcome.crests;
    let open: Vec<Option<usize>> = crests
        .iter()
        .map(|c| {
            task.candidates
                .iter()
                .position(|k| !c.vented && !c.primed && k.station_m == c.station_m)
        })
        .collect();
    // Each vent points at the one that was set before it, so that sets share what they have in common.
    let mut vents: Vec<(usize, Option<usize>)> = Vec::new();
    let mut table: Vec<(f64, Option<usize>)> = vec![(task.mean.trial.last_m, None)];
    for (crest, &candidate) in crests.iter().zip(&open).rev() {
        let passed = |needs: f64| needs.max(crest.height_m);
        let full = |needs: f64| needs.max(crest.height_m - crest.sealed_m) + crest.sealed_m;
        let mut next: Vec<(f64, Option<usize>)> = table
            .iter()
            .map(|&(needs, set)| {
                (
                    if crest.primed {
                        needs
                    } else if crest.vented {
                        passed(needs)
                    } else {
                        full(needs)
                    },
                    set,
                )
            })
            .collect();
        if let Some(candidate) = candidate {
            for (k, &(needs, set)) in table.iter().enumerate() {
                let needs = passed(needs);
                if next.get(k + 1).is_none_or(|there| needs < there.0) {
                    vents.push((candidate, set));
                    let entry = (needs, Some(vents.len() - 1));
                    match next.get_mut(k + 1) {
                        Some(there) => *there = entry,
                        None => next.push(entry),
                    }
                }
            }
        }
        table = next;
    }
    let doubtful: Vec<usize> = (0..task.candidates.len())
        .filter(|&i| !open.contains(&Some(i)))
        .collect();
    let all: Vec<usize> = set_of(&vents, table.last().and_then(|t| t.1));
    tried(table.len() + doubtful.len())
        .map(|size| match table.get(size) {
            Some(&(_, set)) => set_of(&vents, set),
            None => {
                let more = doubtful.iter().take(size + 1 - table.len());
                all.iter().chain(more).copied().collect()
            }
        })
        .collect()
}

/// The vents of a set, from the intake's end of the list.
fn set_of(vents: &[(usize, Option<usize>)], mut at: Option<usize>) -> Vec<usize> {
    let mut set = Vec::new();
    while let Some(&(candidate, before)) = at.and_then(|i| vents.get(i)) {
        set.push(candidate);
        at = before;
    }
    set.reverse();
    set
}

/// Up to so many vents every number is tried, beyond it each tenth more: nobody sets out the thirty-third vent where thirty-six do as well.
const EVERY_NUMBER_UP_TO: usize = 32;

/// The numbers of vents to try below a count, the largest among them.
fn tried(count: usize) -> impl Iterator<Item = usize> {
    std::iter::successors(Some(0), move |&n| {
        let last = count.saturating_sub(1);
        (n < last).then(|| (n + 1 + n.saturating_sub(EVERY_NUMBER_UP_TO - 10) / 10).min(last))
    })
}

/// A line that the vents are held against, and by crest the candidates that are vents there.
struct Held<'a> {
    trial: &'a Trial,
    by: Vec<Vec<usize>>,
}

impl<'a> Held<'a> {
    fn new(trial: &'a Trial, cover: &Cover<'_>) -> Self {
        let crests = trial.outcome.crests.iter();
        Self {
            trial,
            by: crests.map(|c| cover.of(c.station_m)).collect(),
        }
    }

    /// Margin of the worst case, m, with the chosen candidates vented.
    fn margin_m(&self, chosen: &[bool]) -> f64 {
        let vent = |&c: &usize| chosen.get(c).copied().unwrap_or(false);
        self.trial
            .margin_with_m(|i| self.by.get(i).is_some_and(|by| by.iter().any(vent)))
    }
}

struct Task<'a> {
    mean: Held<'a>,
    trials: Vec<Held<'a>>,
    candidates: &'a [Candidate],
    wanted_margin_m: f64,
    sure: f64,
}

impl<'a> Task<'a> {
    /// Draws a set is held against while searching; the chosen one is held against all.
    const SCREEN: usize = 300;

    fn new(
        trials: &'a Trials,
        candidates: &'a [Candidate],
        wanted_margin_m: f64,
        sure: f64,
    ) -> Self {
        let cover = Cover::new(candidates);
        let draws = trials.draws.iter();
        Self {
            mean: Held::new(&trials.mean, &cover),
            trials: draws.map(|t| Held::new(t, &cover)).collect(),
            candidates,
            wanted_margin_m,
            sure,
        }
    }

    fn reach(&self, set: &[usize], trials: &[Held<'_>]) -> Reached {
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
            let trials = Trials {
                draws: vec![mean.clone()],
                mean: mean.clone(),
            };
            let task = Task::new(&trials, &candidates, 1.0, 0.9);
            let margin = |set: &[usize]| task.reach(set, &[]).margin_m;
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

    #[test]
    fn the_candidates_that_cover_a_station_are_found_without_looking_at_all() {
        let mut draws = Draws::new(11);
        let candidates: Vec<Candidate> = (0..60)
            .map(|_| {
                let from_m = draws.between(0.0, 100.0);
                let to_m = from_m + draws.between(0.0, 20.0);
                Candidate {
                    station_m: from_m,
                    from_m,
                    to_m,
                }
            })
            .collect();
        let cover = Cover::new(&candidates);
        for s in 0..120 {
            let mut found = cover.of(f64::from(s));
            found.sort_unstable();
            let all = (0..60).filter(|&i| candidates[i].covers(f64::from(s)));
            assert_eq!(found, all.collect::<Vec<_>>());
        }
    }

    #[test]
    fn every_small_number_of_vents_is_tried_and_the_largest() {
        let numbers: Vec<usize> = tried(2_000).collect();
        assert!((0..=EVERY_NUMBER_UP_TO).all(|n| numbers.contains(&n)));
        assert!(numbers.is_sorted() && numbers.last() == Some(&1_999) && numbers.len() < 100);
        assert_eq!(tried(1).collect::<Vec<_>>(), [0]);
        assert_eq!(tried(3).collect::<Vec<_>>(), [0, 1, 2]);
    }

    /// A line as rough as noise makes it: the search ends, and all vents set do better than none.
    #[test]
    fn hundreds_of_crests_are_searched() {
        let mut draws = Draws::new(3);
        let trials = Trials {
            mean: trial(&mut draws, 250),
            draws: (0..40).map(|_| trial(&mut draws, 250)).collect(),
        };
        let candidates: Vec<Candidate> = (0..250)
            .map(|i| 10.0 * f64::from(i))
            .map(|station_m| Candidate {
                station_m,
                from_m: station_m - 1.0,
                to_m: station_m + 1.0,
            })
            .collect();
        let task = Task::new(&trials, &candidates, 1.0, 0.9);
        let sets = best_of_each_size(&task);
        assert!(sets.len() < 80);
        let margin = |set: &[usize]| task.reach(set, &[]).margin_m;
        let (none, most) = (margin(&[]), margin(sets.last().unwrap()));
        assert!(task.smallest(&sets).margin_m > none && most > none);
    }
}
