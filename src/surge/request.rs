//! What of a line is to be built.

use crate::flow::Run;
use crate::line::{Line, Mover};
use crate::march::OpeningSchedule;

/// What is to be built.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ModelRequest<'a> {
    pub(crate) line: &'a Line,
    /// A running state in which water flows: it gives every loss.
    pub(crate) state: &'a Run,
    /// Wave speed by reach, m/s.
    pub(crate) speeds_m_per_s: &'a [f64],
    /// What moves.
    pub(crate) of: &'a Mover,
    /// How.
    pub(crate) course: &'a OpeningSchedule,
    /// Cells on the whole line.
    pub(crate) cells: usize,
}
