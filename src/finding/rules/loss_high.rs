//! More loss than is usual.

use super::{Found, Severity, Study, rows};
use crate::pipe::RunState;

rows! {
    /// More loss than is usual.
    pub struct LossHigh {
        /// The case.
        pub case: RunState,
        /// Share of the gross head.
        pub share: f64,
    }
    _ => "loss-high", "loss high", "running", Power;
}

/// Share of the head that may be lost before it is worth a word: 10 to 15 % is usual (common practice, no source).
const USUAL_LOSS: f64 = 0.20;

pub(in crate::finding) fn found(study: &Study) -> Option<Found<LossHigh>> {
    let most = study.cases.largest_flow().filter(|r| r.flows())?;
    // what the water falls in a pipe that is not full is no loss that a larger pipe saves
    let share = most.losses.in_pipe_m() / most.gross_head_m;
    let what = LossHigh {
        case: most.state().clone(),
        share,
    };
    (most.gross_head_m > 0.0 && share > USUAL_LOSS)
        .then(|| Found::along(Severity::Watch, what, study))
}
