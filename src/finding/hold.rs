use crate::anchor::{HoldWhy, NoBlock, Sense, ThrustSource, Towards};
use crate::pipe::{Joint, MarkKind};

/// Things of one kind that are wanted to hold the pipe.
#[derive(Debug, Clone, PartialEq)]
pub struct HoldWanted {
    /// What kind.
    pub kind: MarkKind,
    /// Force, N.
    pub force_n: f64,
    /// How many.
    pub count: usize,
    /// Why it must be held.
    pub why: HoldWhy,
    /// What each would have to hold were no loop of slack left beside it, N, where one is named.
    pub without_slack_n: Option<f64>,
    /// Slack that each loop gives, m.
    pub slack_m: Option<f64>,
    /// Expansion joints are wanted on the same line: they carry no pull, so that anchors, blocks and joints hold it only together.
    pub with_joints: bool,
}

/// A thrust at pressure that nothing restrains.
#[derive(Debug, Clone, PartialEq)]
pub struct Unheld {
    /// Thrust, N.
    pub force_n: f64,
    /// How the pipe is joined there.
    pub joint: Joint,
    /// What pushes.
    pub at: ThrustSource,
    /// Where it pushes, largest part first; empty where `sense` says how it is laid.
    pub towards: Vec<Towards>,
    /// How its direction is known.
    pub sense: Sense,
    /// It pushes along the pipe, so that an anchor does as well as a block.
    pub along: bool,
    /// Why no block is offered there, or only with a caution.
    pub no_block: Option<NoBlock>,
    /// The state that makes the pressure.
    pub by: String,
    /// The water parts in that state: it may be more.
    pub by_parts: bool,
}
