//! How much marching a study may take: a site file of many movements must not be a run of many minutes.

use super::grid::MocGrid;
use super::pipe_series::{InlineElement, Join};
use std::cell::Cell;

/// Beyond this no shortest time is looked for any more, in nodes times steps: some seconds of a slow processor.
const MOST_SEARCHED: u64 = 200_000_000;

/// Beyond this nothing is marched any more.
const MOST: u64 = 300_000_000;

/// Share of a march in which a join that may let air in is taken to hold some.
const AIR_SHARE: f64 = 0.25;

/// What has been marched so far, in nodes times steps, and the most that was asked for and granted. It is counted, not timed, so that the same input is cut off at the same place everywhere.
#[derive(Debug, Default)]
pub(crate) struct Work {
    spent: Cell<u64>,
    /// The most that a march was granted up to.
    marched: Cell<f64>,
    /// The most that had been spent when a search was granted; `None`: none was.
    searched: Cell<Option<u64>>,
}

impl Work {
    /// Behind what took so much.
    pub(crate) fn after(node_steps: u64) -> Self {
        Self {
            spent: Cell::new(node_steps),
            ..Self::default()
        }
    }

    /// Counts what a march took.
    pub(crate) fn spend(&self, node_steps: u64) {
        self.spent.set(self.spent.get().saturating_add(node_steps));
    }

    /// What was counted so far.
    pub(crate) fn spent(&self) -> u64 {
        self.spent.get()
    }

    /// Whether nothing may be marched any more after so much.
    pub(crate) fn is_over(spent: u64) -> bool {
        spent >= MOST
    }

    /// Whether there is room for another search.
    pub(crate) fn may_search(&self) -> bool {
        let spent = self.spent();
        let may = spent < MOST_SEARCHED;
        if may {
            self.searched.set(self.searched.get().max(Some(spent)));
        }
        may
    }

    /// Whether a movement of this length may be marched on a grid, three times as `LineConstants::follow` does at the most; `joins`: those that may let air in count with it.
    pub(crate) fn may_march(&self, grid: &MocGrid, movement_s: f64, joins: &[Join]) -> bool {
        let steps = (movement_s / grid.step_s).min(1e18);
        let inlets = joins.iter().filter(|j| j.branch.lets_air_in());
        let air = inlets.map(air_nodes).sum::<u64>();
        let nodes = cells_of(grid) + JOIN_NODES * joins.len() as u64;
        let each = steps * (nodes as f64 + AIR_SHARE * air as f64);
        let whole = self.spent() as f64 + 3.0 * each;
        let may = whole < MOST as f64;
        if may {
            self.marched.set(self.marched.get().max(whole));
        }
        may
    }

    /// Whether all that was granted here, where nothing had been spent before, would have been granted behind so much.
    pub(crate) fn fits_behind(&self, before: u64) -> bool {
        let searched = self.searched.get();
        before as f64 + self.marched.get() < MOST as f64
            && searched.is_none_or(|spent| before.saturating_add(spent) < MOST_SEARCHED)
    }
}

/// As how many nodes a join counts.
pub(super) const JOIN_NODES: u64 = 6;

/// As how many nodes more a join that holds air counts: where water is lost on the way through, its head is sought by trial.
pub(super) fn air_nodes(join: &Join) -> u64 {
    if join.pass == InlineElement::Free {
        10
    } else {
        200
    }
}

/// Cells of a grid, both halves of each step counted.
pub(super) fn cells_of(grid: &MocGrid) -> u64 {
    2 * grid.cells.iter().sum::<usize>() as u64
}

#[cfg(test)]
mod tests {
    use super::super::pipe_series::{BranchLine, QuadraticLoss};
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
        assert!(work.may_march(&grid(), 10.0, &[]));
        assert!(work.may_march(&grid(), 3_600.0, &[]));
        // a join that holds air costs as much as some nodes, and as many where it loses head
        let inlet = |pass: InlineElement| Join {
            pass,
            branch: BranchLine::AirInlet {
                height_m: 0.0,
                bore_m: 0.05,
                lets_out: true,
            },
        };
        let free = vec![inlet(InlineElement::Free); 10];
        assert!(work.may_march(&grid(), 3_600.0, &free));
        let lossy = vec![inlet(InlineElement::Still(QuadraticLoss::default())); 10];
        assert!(!work.may_march(&grid(), 3_600.0, &lossy));
        assert!(!work.may_march(&grid(), 86_400.0, &[]));
        assert!(!work.may_march(&grid(), f64::INFINITY, &[]));
    }

    #[test]
    fn what_was_spent_leaves_less() {
        let work = Work::default();
        work.spend(MOST_SEARCHED - 1);
        assert!(work.may_search() && work.may_march(&grid(), 10.0, &[]));
        work.spend(1);
        assert!(!work.may_search() && work.may_march(&grid(), 10.0, &[]));
        work.spend(u64::MAX);
        assert!(!work.may_march(&grid(), 0.0, &[]));
    }

    #[test]
    fn what_was_granted_alone_stands_behind_others_where_there_is_room_for_both() {
        let alone = Work::default();
        assert!(alone.may_march(&grid(), 10.0, &[]));
        alone.spend(MOST / 2);
        assert!(alone.may_search() && alone.fits_behind(0));
        assert!(alone.fits_behind(MOST_SEARCHED - MOST / 2 - 1));
        assert!(!alone.fits_behind(MOST_SEARCHED - MOST / 2));
        // what was refused alone is refused behind others too
        let refused = Work::default();
        assert!(!refused.may_march(&grid(), 86_400.0, &[]) && refused.fits_behind(MOST - 1));
        assert!(Work::is_over(MOST) && !Work::is_over(MOST - 1));
    }
}
