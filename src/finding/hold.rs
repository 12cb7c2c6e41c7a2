use crate::anchor::HoldWhy;
use crate::pipe::MarkKind;

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
}
