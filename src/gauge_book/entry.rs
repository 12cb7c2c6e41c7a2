//! One row of the book.

use crate::flow::Dial;
use crate::pipe::RunState;

/// What was read at one time.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Days since the start of 1970, with the time of day where it was given.
    pub day: f64,
    /// The state it was read in.
    pub state: RunState,
    /// Where the gauge stands.
    pub dial: Dial,
    /// Pressure, m of water.
    pub head_m: Option<f64>,
    /// Flow, m3/s.
    pub flow_m3_per_s: Option<f64>,
    /// Electrical power, W.
    pub power_w: Option<f64>,
    /// Level of the water at the intake against any mark, m.
    pub stream_level_m: Option<f64>,
    /// Water fed into the shut pipe to keep its pressure, m3/s.
    pub fed_m3_per_s: Option<f64>,
    /// Which gauge it was, where the book says: another gauge has a level of its own.
    pub gauge: String,
    /// What was written beside it.
    pub remark: String,
    /// Row of the sheet, from 1; of a logger, the row its steady spell begins at.
    pub line: u32,
}

impl Entry {
    /// The same reading written twice.
    pub(super) fn same_reading(&self, other: &Self) -> bool {
        let without_its_row = |e: &Self| Self {
            line: 0,
            ..e.clone()
        };
        without_its_row(self) == without_its_row(other)
    }
}
