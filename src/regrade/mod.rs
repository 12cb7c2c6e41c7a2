//! The least digging and propping that makes the line fall all the way.
//!
//! How it is done and where it ends: docs/basis/regrade.md.

mod bound;
mod fall;
mod hold;
mod plan;
mod stake;
mod sure;

pub use fall::{FallProblem, MoveCost, cheapest, dig_only, prop_only};
pub use plan::plans;

crate::text::words! {
    /// How a line is made to fall.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum RegradeKind {
        /// Digging and propping, whichever is cheaper at each station.
        Mixed = "mixed",
        /// Digging only: never above the line as it lies.
        Dig = "dig",
        /// Propping only: never below it.
        Prop = "prop",
    }
}

/// One way to make the line fall.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct RegradePlan {
    /// How.
    pub kind: RegradeKind,
    /// Stakes to set out, in order from the intake; only where something changes, and at the ends of each such reach.
    pub stakes: Vec<Stake>,
    /// Price of it all, in the user's relative prices.
    pub cost: f64,
    /// Height of the pipe's centre that is wanted at each station of the line's grid, m.
    pub wanted_m: Vec<f64>,
    /// Area cut away along the line, m2 (length times depth; times the trench's width it is the volume).
    pub dug_m2: f64,
    /// Area propped along the line, m2.
    pub propped_m2: f64,
    /// Deepest cut, m.
    pub deepest_m: f64,
    /// Highest prop, m.
    pub highest_m: f64,
    /// Reaches that this plan cannot make fall, and why: from, to, m.
    pub remaining: Vec<Remaining>,
    /// Stations where the plan bends the pipe tighter than it may be bent or more than a straight pipe may be: an elbow or a longer cut is needed there.
    pub too_tight_m: Vec<f64>,
    /// Share of the line's draws that fall once the plan is carried out by its changes, over the reaches that change; `None` where the heights have no draws.
    pub sure: Option<f64>,
    /// The same with the stakes' extra.
    pub sure_with_extra: Option<f64>,
}

impl RegradePlan {
    /// Nine lines in ten fall once it is carried out, with its extra where it has one; heights without draws are taken as they are.
    pub fn is_sure(&self) -> bool {
        const NINE_IN_TEN: f64 = 0.9;
        let share = self.sure_with_extra.or(self.sure);
        share.is_none_or(|s| s >= NINE_IN_TEN)
    }
}

/// A stake: where, and what to do there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stake {
    /// Where, m along the line.
    pub station_m: f64,
    /// Height of the pipe's centre as surveyed, m.
    pub now_m: f64,
    /// Height that is wanted, m.
    pub wanted_m: f64,
    /// Wanted less now, m: negative to dig, positive to prop.
    pub change_m: f64,
    /// What to add to the change so that the reach falls with 90 % certainty, m, with the change's sign; `None` where no extra does: level the reach first.
    pub extra_m: Option<f64>,
    /// Height of the ground, m, where it was surveyed.
    pub ground_m: Option<f64>,
    /// Half the pipe's outside diameter, m: from its centre down to what it lies on.
    pub half_m: f64,
}

impl Stake {
    /// How deep the trench is here, m below the ground, to the underside of the pipe; `None` where the pipe's underside stands above the ground, or the ground was not surveyed.
    pub fn trench_m(&self) -> Option<f64> {
        let depth_m = self.ground_m? - (self.wanted_m - self.half_m);
        (depth_m > 0.0).then_some(depth_m)
    }

    /// How high the underside of the pipe stands above the ground, m: what is set under it.
    pub fn prop_m(&self) -> Option<f64> {
        let height_m = self.wanted_m - self.half_m - self.ground_m?;
        (height_m >= 0.0).then_some(height_m)
    }
}

/// A reach that a plan cannot make fall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Remaining {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Why.
    pub why: StillClimbs,
}

crate::text::words! {
    /// Why a reach still climbs.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum StillClimbs {
        /// Both its ends are held, and the lower one stands too high.
        Held = "both ends are held",
        /// It may not be dug, or not so deep, and this plan does not prop.
        Undug = "may not be dug so deep",
        /// It may not be propped so high, and this plan does not dig.
        Unpropped = "may not be propped so high",
    }
}
