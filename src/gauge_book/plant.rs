//! The plant that a gauge's book is read on.

use crate::line::{CaseWish, Line};

/// The plant with what can change on it.
pub(super) struct Plant<'a> {
    pub(super) line: &'a Line,
    pub(super) wishes: Vec<CaseWish>,
    /// Largest flow of any state, m3/s: the flow that sizes of an obstruction are told at.
    pub(super) largest_m3_per_s: f64,
    /// The state of that flow.
    pub(super) largest: Option<CaseWish>,
    /// The lowest high point that air may stand below, m.
    pub(super) air_at_m: f64,
    /// Head that air can take, m.
    pub(super) most_air_m: f64,
    pub(super) gross_head_m: f64,
    /// Pressure of a metre of this line's water, Pa: worked out once, for each row of a log asks it.
    pub(super) pa_per_m: f64,
}
