//! What was marched already: the same chain from the same state need not be marched again.

use super::build::BuiltModel;
use crate::march::moc::march;
use crate::march::place::GridPoint;
use crate::march::riser::RiserWater;
use crate::march::{TransientOptions, TransientResult};
use std::sync::{Arc, Mutex, PoisonError};

/// Heads that are kept against time of all marches together: beyond it no more are.
const MOST_KEPT: usize = 4_000_000;

/// Nodes on either side of a place at which heads are kept, so that standpipes near it can be thought of afterwards.
const BESIDE: usize = 2;

/// Marches of one line and of lines that differ from it, with what was kept of each.
///
/// What a march comes to is the same whoever asks, so it is told again and counted again as if it had been made.
#[derive(Debug, Default)]
pub(crate) struct MarchMemory(Mutex<KnownMarches>);

#[derive(Debug, Default)]
struct KnownMarches {
    marches: Vec<Arc<KnownMarch>>,
    /// Heads kept so far.
    kept: usize,
}

/// A march with what it was told to keep.
#[derive(Debug)]
struct KnownMarch {
    built: BuiltModel,
    orders: TransientOptions,
    marched: TransientResult,
    /// Heads at some nodes, step by step, m.
    heads: Vec<(usize, Vec<f64>)>,
}

impl MarchMemory {
    /// A march, or what is known of it. `near_m`: where standpipes may be thought of later, m from the forebay.
    pub(crate) fn march(
        &self,
        built: &BuiltModel,
        orders: &TransientOptions,
        near_m: &[f64],
    ) -> TransientResult {
        if let Some(known) = self.recall(built, orders) {
            return known;
        }
        let BuiltModel {
            chain, grid, start, ..
        } = built;
        let mut nodes: Vec<usize> = Vec::new();
        if !orders.risers.is_empty() {
            let risers = orders.risers.iter().map(|r| r.station_m);
            for station_m in risers.chain(near_m.iter().copied()) {
                let at = GridPoint::of(chain, grid, station_m).node;
                nodes.extend(at.saturating_sub(BESIDE)..=at + 1 + BESIDE);
            }
            let count = grid.total_cells() + grid.cells.len();
            nodes.retain(|n| *n < count);
            nodes.sort_unstable();
            nodes.dedup();
        }
        let (marched, heads) = march(chain, grid, start, orders, &nodes);
        let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let kept = heads
            .iter()
            .chain(&marched.watched_m)
            .map(Vec::len)
            .sum::<usize>();
        if known.kept + kept <= MOST_KEPT {
            known.kept += kept;
            known.marches.push(Arc::new(KnownMarch {
                built: built.clone(),
                orders: orders.clone(),
                marched: marched.clone(),
                heads: nodes.into_iter().zip(heads).collect(),
            }));
        }
        marched
    }

    /// What is known of a march.
    pub(crate) fn recall(
        &self,
        built: &BuiltModel,
        orders: &TransientOptions,
    ) -> Option<TransientResult> {
        let same: Vec<Arc<KnownMarch>> = {
            let known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            let same = known.marches.iter().filter(|k| k.is_of(built, orders));
            same.cloned().collect()
        };
        same.iter().find_map(|known| known.tell(orders))
    }
}

impl KnownMarch {
    /// Whether the same water moves in the same way for as long.
    fn is_of(&self, built: &BuiltModel, orders: &TransientOptions) -> bool {
        self.built.grid == built.grid
            && self.built.start == built.start
            && self.orders.duration_s == orders.duration_s
            && self.orders.until_quiet == orders.until_quiet
            && self.orders.scouted_wave == orders.scouted_wave
            && self.orders.air_head_m == orders.air_head_m
            && self.built.chain == built.chain
    }

    /// What it comes to, where all that is asked was kept.
    fn tell(&self, orders: &TransientOptions) -> Option<TransientResult> {
        let had = &self.orders;
        if !orders.floors.is_empty() && orders.floors != had.floors {
            return None;
        }
        let watched = |station_m: &f64| {
            let i = had.watch_m.iter().position(|s| s == station_m)?;
            self.marched.watched_m.get(i).cloned()
        };
        let riser = |riser: &crate::march::NarrowRiser| {
            let same = had.risers.iter().position(|r| r == riser);
            match same.and_then(|i| self.marched.risers_m.get(i)) {
                Some(known) => Some(*known),
                None => self.rises_m(riser),
            }
        };
        Some(TransientResult {
            watched_m: orders.watch_m.iter().map(watched).collect::<Option<_>>()?,
            risers_m: orders.risers.iter().map(riser).collect::<Option<_>>()?,
            first_below: self
                .marched
                .first_below
                .filter(|_| !orders.floors.is_empty()),
            envelopes: self.marched.envelopes.clone(),
            standpipes_m: self.marched.standpipes_m.clone(),
            ..self.marched
        })
    }

    /// How high the water in a narrow standpipe goes, by the heads that were kept beside it.
    fn rises_m(&self, riser: &crate::march::NarrowRiser) -> Option<f64> {
        let chain = &self.built.chain;
        let at = GridPoint::of(chain, &self.built.grid, riser.station_m);
        let kept = |node: usize| {
            let i = self.heads.binary_search_by_key(&node, |h| h.0).ok()?;
            self.heads.get(i).map(|h| &h.1)
        };
        // the node after the last of a tube belongs to it: a place never lies beyond
        let (low, high) = (kept(at.node)?, kept(at.node + 1)?);
        let mut heads = low.iter().zip(high);
        let head = |(low, high): (&f64, &f64)| {
            at.head(|node| Some(if node == at.node { *low } else { *high }))
        };
        let mut water = RiserWater::at_rest(riser, head(heads.next()?));
        for each in heads {
            water.step(head(each), chain.gravity_m_per_s2, self.marched.step_s);
        }
        Some(water.highest_m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::march::{
        Aim, Forebay, InitialState, LowerEnd, MocGrid, NarrowRiser, Nozzles, OpeningSchedule,
        PipeSeries, QuadraticLoss, Tube,
    };

    fn built() -> BuiltModel {
        let tube = |length_m: f64, bore_m: f64| Tube {
            length_m,
            bore_m,
            wave_speed_m_per_s: 400.0,
            friction_factor: 0.02,
        };
        let mut chain = PipeSeries {
            gravity_m_per_s2: 9.81,
            forebay: Forebay {
                level_m: 60.0,
                mouth: QuadraticLoss::default(),
            },
            tubes: vec![tube(170.0, 0.15), tube(130.0, 0.1)],
            joins: Vec::new(),
            end: LowerEnd::Shut,
        };
        let start = InitialState::flowing(&chain, 0.01);
        let end_m = chain.steady_heads_m(&start)[1].1;
        let mut nozzles = Nozzles::passing(0.01, end_m, 0.0, 9.81);
        nozzles.course = OpeningSchedule::straight(1.0, 0.0, 1.0);
        chain.end = LowerEnd::Nozzles(nozzles);
        let aim = Aim {
            cells: 24,
            most_cells: 96,
            bends_s: &[1.0],
        };
        BuiltModel {
            grid: MocGrid::choose(&chain.tubes, aim),
            chain,
            start,
            reach_of_tube: vec![0, 0],
            moved_m: 0.0,
            moving_below_tube: 1,
            valve: None,
            stand_of_join: vec![None],
            short: Vec::new(),
            taken: Vec::new(),
            scouted_wave: None,
        }
    }

    fn riser(station_m: f64) -> NarrowRiser {
        NarrowRiser {
            station_m,
            pipe_m: 60.0 - 0.18 * station_m,
        }
    }

    /// What is told of a march is what a march of its own comes to, to the last bit; what was not kept is marched.
    #[test]
    fn what_is_told_is_what_a_march_comes_to() {
        let built = built();
        let orders = |stations_m: &[f64], watch_m: &[f64]| TransientOptions {
            duration_s: built.chain.movement_s(),
            until_quiet: true,
            air_head_m: 10.0,
            risers: stations_m.iter().map(|s| riser(*s)).collect(),
            watch_m: watch_m.to_vec(),
            ..TransientOptions::default()
        };
        let memory = MarchMemory::default();
        let first = orders(&[20.0, 168.0], &[300.0, 90.0]);
        memory.march(&built, &first, &[222.0]);
        for risers in [&[20.0, 168.0][..], &[15.5, 170.0, 221.3], &[224.0], &[]] {
            let asked = orders(risers, &[300.0]);
            let told = memory.recall(&built, &asked);
            assert_eq!(
                told,
                Some(march(&built.chain, &built.grid, &built.start, &asked, &[]).0)
            );
        }
        for other in [orders(&[120.0], &[300.0]), orders(&[20.0], &[300.0, 91.0])] {
            assert_eq!(memory.recall(&built, &other), None);
        }
        let mut slower = built.clone();
        slower.start.flow_m3_per_s[1] *= 0.999;
        assert_eq!(memory.recall(&slower, &first), None);
    }
}
