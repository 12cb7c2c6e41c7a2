//! The chart of the plan on its sheet: which place lies where.

use super::item::{Box, PaperPoint};

/// The chart of the plan.
pub(super) struct Chart {
    pub(super) area: Box,
    pub(super) west_m: f64,
    pub(super) south_m: f64,
    pub(super) mm_per_m: f64,
}

impl Chart {
    pub(super) fn at(&self, (east, north): (f64, f64)) -> PaperPoint {
        (
            self.area.left + (east - self.west_m) * self.mm_per_m,
            self.area.bottom - (north - self.south_m) * self.mm_per_m,
        )
    }
}
