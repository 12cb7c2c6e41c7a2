//! How much marching a study may take: a site file of many movements must not be a run of many minutes.

use super::grid::MocGrid;
use super::moc::{AIR_NODES, cells_of};
use std::cell::Cell;

/// Beyond this no shortest time is looked for any more, in nodes times steps: some seconds of a slow processor.
const MOST_SEARCHED: u64 = 200_000_000;

/// Beyond this nothing is marched any more.
const MOST: u64 = 300_000_000;

/// Share of a march in which a join that may let air in is taken to hold some.
const AIR_SHARE: f64 = 0.25;

/// What has been marched so far, in nodes times steps. It is counted, not timed, so that the same input is cut off at the same place everywhere.
#[derive(Debug, Default)]
pub(crate) struct Work(Cell<u64>);

impl Work {
    /// Counts what a march took.
    pub(crate) fn spend(&self, node_steps: u64) {
        self.0.set(self.0.get().saturating_add(node_steps));
    }

    /// Whether there is room for another search.
    pub(crate) fn may_search(&self) -> bool {
        self.0.get() < MOST_SEARCHED
    }

    /// Whether a movement of this length may be marched on a grid, three times as `LineConstants::follow` does at the most; `inlets`: joins that may let air in.
    pub(crate) fn may_march(&self, grid: &MocGrid, movement_s: f64, inlets: usize) -> bool {
        let steps = (movement_s / grid.step_s).min(1e18);
        let each = steps * (cells_of(grid) as f64 + AIR_SHARE * (AIR_NODES * inlets as u64) as f64);
        self.0.get() as f64 + 3.0 * each < MOST as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid() -> MocGrid {
        MocGrid {
            step_s: 0.01,
            cells: vec![50],
            wave_speeds_m_per_s: vec![300.0],
            adjustment: 0.0,
            sliver_adjustment: 0.0,
        }
    }

    #[test]
    fn a_day_is_not_marched_and_ten_seconds_are() {
        let work = Work::default();
        assert!(work.may_march(&grid(), 10.0, 0));
        assert!(work.may_march(&grid(), 3_600.0, 0));
        // a join that holds air costs as much as many nodes
        assert!(!work.may_march(&grid(), 3_600.0, 10));
        assert!(!work.may_march(&grid(), 86_400.0, 0));
        assert!(!work.may_march(&grid(), f64::INFINITY, 0));
    }

    #[test]
    fn what_was_spent_leaves_less() {
        let work = Work::default();
        work.spend(MOST_SEARCHED - 1);
        assert!(work.may_search() && work.may_march(&grid(), 10.0, 0));
        work.spend(1);
        assert!(!work.may_search() && work.may_march(&grid(), 10.0, 0));
        work.spend(u64::MAX);
        assert!(!work.may_march(&grid(), 0.0, 0));
    }
}
