//! How far a survey reaches, and what it may miss.

use crate::text::Sentence;

/// A part that is this much longer or shorter than its reach, m and as a share, does not fit it.
pub(super) const SLACK_M: f64 = 10.0;

/// See `SLACK_M`.
pub(super) const SLACK: f64 = 0.10;

/// "12 m to 40 m" after what was said before.
pub(super) fn reach(said: Sentence, (from_m, to_m): (f64, f64), decimals: usize) -> Sentence {
    said.length(from_m, decimals)
        .words(" to ")
        .length(to_m, decimals)
}
