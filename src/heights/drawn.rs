use super::layout::Layout;
use super::noise::Noises;
use super::sample::Sampler;
use super::{Heights, WithoutWalk};
use crate::numeric::Rng;
use crate::receiver::{Class, Errors};

/// Moves of the errors before the first sweep that counts without a sweep between, and in each sweep.
const FIRST_MOVES: usize = 60;
const MOVES: usize = 2;

/// At so many states of the sampler the line is taken without each walk.
const WITHOUT: usize = 8;
/// Work of all sweeps together, nodes times the square of what a node carries: beyond it a long line is swept less often.
const MOST_WORK: usize = 1_440_000;
const LEAST_SWEEPS: usize = 20;
/// Heights that are kept of all lines together.
const MOST_STORED: usize = 6_000_000;
/// Where there are few sweeps, so many lines are drawn of them all, and at most so many pairs of each.
const ENOUGH_LINES: usize = 500;
const MOST_PAIRS: usize = 6;

/// How much is drawn.
#[derive(Debug, Clone, Copy)]
pub(super) struct Effort {
    /// Sweeps before the first that counts.
    warm: usize,
    sweeps: usize,
    /// Draws from each sweep that counts, in mirrored pairs.
    pairs: usize,
}

impl Effort {
    pub(super) fn of(walks: usize, stations: usize, nodes: usize, wanted: Option<usize>) -> Self {
        let (usual, pairs) = if walks <= 1 { (600, 2) } else { (220, 3) };
        let sweeps = if let Some(draws) = wanted {
            draws.max(40).div_ceil(2 * pairs)
        } else {
            // The unknowns that a node carries grow with the walks, and its work with their square.
            let node = (walks + 1) * (walks + 1);
            usual
                .min(MOST_WORK / (nodes * node).max(1))
                .max(LEAST_SWEEPS)
        };
        // Fewer sweeps are asked for more lines each; a long line keeps them to a bearable store.
        let stored = MOST_STORED / (2 * sweeps * stations).max(1);
        let more = ENOUGH_LINES / (2 * sweeps);
        let pairs = if wanted.is_some() {
            pairs
        } else {
            more.clamp(pairs, MOST_PAIRS).min(stored).max(1)
        };
        Self {
            warm: 20,
            sweeps,
            pairs,
        }
    }
}

/// What was drawn: heights on the stations, the middle of each walk's errors, how likely each class of receivers is.
pub(super) struct DrawnHeights {
    pub(super) heights: Heights,
    pub(super) errors: Vec<Errors>,
    pub(super) classes: Vec<(Class, f64)>,
    /// How the middle line stands without each walk, where that was asked.
    pub(super) without: Vec<WithoutWalk>,
}

/// Warms up and draws. `without`: the same nodes without each walk.
pub(super) fn sample(
    sampler: &mut Sampler<'_>,
    starts: &[Noises],
    draws: &mut Rng,
    effort: Effort,
    stations_m: &[f64],
    without: &[Layout],
) -> DrawnHeights {
    for _ in 0..2 {
        sampler.sweep(draws);
    }
    sampler.begin(starts);
    for _ in 0..3 {
        sampler.sweep(draws);
    }
    for _ in 0..FIRST_MOVES {
        sampler.metropolis_step(draws, true);
    }
    for _ in 0..effort.warm {
        sampler.metropolis_step(draws, true);
        sampler.sweep(draws);
        sampler.sample_class_weights(draws);
    }
    let layout = sampler.layout;
    let at: Vec<(usize, [f64; 4])> = stations_m.iter().map(|&s| layout.weights_at(s)).collect();
    let bases =
        |layout: &Layout| -> Vec<f64> { stations_m.iter().map(|&s| layout.base_at(s)).collect() };
    let base = bases(layout);
    let on_stations = |x: &[f64]| -> Vec<f64> {
        at.iter()
            .map(|(step, w)| {
                x.get(2 * step..2 * step + 4)
                    .map_or(0.0, |x| x.iter().zip(w).map(|(x, w)| x * w).sum())
            })
            .collect()
    };
    let size = 2 * layout.node_m.len();
    let (mut middle, mut off) = (vec![0.0; size], vec![0.0; size]);
    let mut lines: Vec<Vec<f64>> = Vec::with_capacity(2 * effort.sweeps * effort.pairs);
    let mut seen: Vec<Vec<Errors>> = Vec::with_capacity(effort.sweeps);
    let mut classes: Vec<(Class, f64)> = Vec::new();
    let mut spared: Vec<WithoutWalk> = without
        .iter()
        .map(|layout| WithoutWalk {
            station_m: stations_m.to_vec(),
            off_m: bases(layout),
        })
        .collect();
    let looks = WITHOUT.min(effort.sweeps);
    for sweep in 0..effort.sweeps {
        for _ in 0..MOVES {
            sampler.metropolis_step(draws, false);
        }
        sampler.sweep(draws);
        sampler.sample_class_weights(draws);
        seen.push(sampler.noises.errors());
        let now = sampler.noises.classes();
        if classes.is_empty() {
            classes = now.iter().map(|&(c, _)| (c, 0.0)).collect();
        }
        for (sum, (_, share)) in classes.iter_mut().zip(now) {
            sum.1 += share / effort.sweeps as f64;
        }
        sampler.run.back(layout, true, || 0.0, &mut middle);
        let mean: Vec<f64> = on_stations(&middle)
            .into_iter()
            .zip(&base)
            .map(|(m, base)| m + base)
            .collect();
        if (sweep + 1) * looks / effort.sweeps > sweep * looks / effort.sweeps {
            for (layout, line) in without.iter().zip(&mut spared) {
                sampler.middle_of(layout, &mut off);
                for (height, z) in line.off_m.iter_mut().zip(on_stations(&off)) {
                    *height += z / looks as f64;
                }
            }
        }
        for _ in 0..effort.pairs {
            sampler.run.back(layout, false, || draws.normal(), &mut off);
            let off = on_stations(&off);
            lines.push(mean.iter().zip(&off).map(|(m, d)| m + d).collect());
            lines.push(mean.iter().zip(&off).map(|(m, d)| m - d).collect());
        }
    }
    let heights = Heights::from_draws(stations_m.to_vec(), lines);
    for line in &mut spared {
        for (off, mean) in line.off_m.iter_mut().zip(&heights.mean_m) {
            *off -= mean;
        }
    }
    DrawnHeights {
        heights,
        errors: middles(&seen),
        classes,
        without: spared,
    }
}

/// The middle of each number of each walk's errors over what was drawn.
fn middles(seen: &[Vec<Errors>]) -> Vec<Errors> {
    let walks = seen.first().map_or(0, Vec::len);
    (0..walks)
        .map(|walk| {
            let logs: Vec<[f64; 5]> = seen
                .iter()
                .filter_map(|s| s.get(walk).map(Errors::log))
                .collect();
            Errors::from_log(&std::array::from_fn(|i| {
                let mut all: Vec<f64> = logs.iter().filter_map(|l| l.get(i).copied()).collect();
                all.sort_by(f64::total_cmp);
                all.get(all.len() / 2).copied().unwrap_or(0.0)
            }))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_very_long_line_takes_no_more_than_a_long_one() {
        for walks in [1, 3] {
            for nodes in [100, 2_500, 6_000, 15_000, 100_000] {
                let effort = Effort::of(walks, 4_000, nodes, None);
                let work = effort.sweeps * nodes * (walks + 1) * (walks + 1);
                assert!(
                    work <= MOST_WORK || effort.sweeps == LEAST_SWEEPS,
                    "{nodes}"
                );
                assert!(effort.sweeps * 2 * effort.pairs * 4_000 <= MOST_STORED);
                assert!(effort.sweeps * 2 * effort.pairs >= 120);
            }
        }
    }
}
