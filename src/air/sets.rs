//! Sets of vents to weigh against each other, and the lines they are held against.

use super::start::StartTrial;

/// A crest that could be vented: where the crew looks for its highest place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct VentCandidate {
    pub(super) station_m: f64,
    pub(super) from_m: f64,
    pub(super) to_m: f64,
}

impl VentCandidate {
    pub(super) fn covers(&self, station_m: f64) -> bool {
        (self.from_m..=self.to_m).contains(&station_m)
    }
}

/// Every set of so many things, smaller sets first, in a fixed order.
pub(super) fn every_set(count: usize) -> Vec<Vec<usize>> {
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
pub(super) fn best_of_each_size(
    mean: &StartTrial,
    candidates: &[VentCandidate],
) -> Vec<Vec<usize>> {
    let crests = &mean.outcome.crests;
    let open: Vec<Option<usize>> = crests
        .iter()
        .map(|c| {
            candidates
                .iter()
                .position(|k| !c.vented && !c.primed && k.station_m == c.station_m)
        })
        .collect();
    // Each vent points at the one that was set before it, so that sets share what they have in common.
    let mut vents: Vec<(usize, Option<usize>)> = Vec::new();
    let mut table: Vec<(f64, Option<usize>)> = vec![(mean.last_m, None)];
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
    let doubtful: Vec<usize> = (0..candidates.len())
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

/// Candidates by where they begin, each with the farthest end up to it: those that cover a station stand close together.
pub(super) struct Cover<'a>(Vec<(usize, &'a VentCandidate, f64)>);

impl<'a> Cover<'a> {
    pub(super) fn new(candidates: &'a [VentCandidate]) -> Self {
        let mut order: Vec<(usize, &VentCandidate)> = candidates.iter().enumerate().collect();
        order.sort_by(|a, b| a.1.from_m.total_cmp(&b.1.from_m));
        let mut farthest_m = f64::NEG_INFINITY;
        let with_end = order.into_iter().map(|(i, c)| {
            farthest_m = farthest_m.max(c.to_m);
            (i, c, farthest_m)
        });
        Self(with_end.collect())
    }

    pub(super) fn of(&self, station_m: f64) -> Vec<usize> {
        let begun = self.0.partition_point(|(_, c, _)| c.from_m <= station_m);
        self.0
            .iter()
            .take(begun)
            .rev()
            .take_while(|(_, _, farthest_m)| *farthest_m >= station_m)
            .filter(|(_, c, _)| c.covers(station_m))
            .map(|(i, ..)| *i)
            .collect()
    }
}

/// A line that the vents are held against, and by crest the candidates that are vents there.
pub(super) struct VentedLine<'a> {
    trial: &'a StartTrial,
    by: Vec<Vec<usize>>,
}

impl<'a> VentedLine<'a> {
    pub(super) fn new(trial: &'a StartTrial, cover: &Cover<'_>) -> Self {
        let crests = trial.outcome.crests.iter();
        Self {
            trial,
            by: crests.map(|c| cover.of(c.station_m)).collect(),
        }
    }

    /// Margin of the worst case, m, with the chosen candidates vented.
    pub(super) fn margin_m(&self, chosen: &[bool]) -> f64 {
        let vent = |&c: &usize| chosen.get(c).copied().unwrap_or(false);
        self.trial
            .margin_with_m(|i| self.by.get(i).is_some_and(|by| by.iter().any(vent)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::Rng;

    #[test]
    fn the_candidates_that_cover_a_station_are_found_without_looking_at_all() {
        let mut draws = Rng::new(11);
        let candidates: Vec<VentCandidate> = (0..60)
            .map(|_| {
                let from_m = draws.between(0.0, 100.0);
                let to_m = from_m + draws.between(0.0, 20.0);
                VentCandidate {
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
}
