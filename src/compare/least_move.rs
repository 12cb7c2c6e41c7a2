//! The least move that matters.

/// Less is no movement that matters, m: half a centimetre of a level, a hand's breadth of a receiver stand in the standard deviation.
pub(super) const LEAST_M: f64 = 0.015;
