//! How sure a book's length and plan are.

use super::course::BookLine;
use crate::reading::{Book, Method};

/// Doubt of a position in degrees, m by axis: a hand receiver's. Sheets do not say.
const DEGREES_SD_M: f64 = 3.0;

/// Doubt of a position in metres, m by axis: an instrument's, the staff on rough ground.
const METRES_SD_M: f64 = 0.05;

/// Doubt of a bearing taken with a compass, rad: one degree.
const COMPASS_SD_RAD: f64 = 0.0175;

impl BookLine {
    /// Standard deviation of the length, m.
    pub(super) fn length_sd_m(&self, book: &Book, length_m: f64) -> f64 {
        if self.measured {
            let sd = if self.plane.is_some() {
                DEGREES_SD_M
            } else {
                METRES_SD_M
            };
            return sd * std::f64::consts::SQRT_2;
        }
        book.station_sd_share * length_m
    }

    /// Doubt of a point in plan against its neighbours, m by axis.
    pub(super) fn plan_sd_m(&self, method: Method) -> f64 {
        if self.plane.is_some() {
            DEGREES_SD_M
        } else if method == Method::Angle {
            let legs = self.level_m.len().saturating_sub(1).max(1) as f64;
            COMPASS_SD_RAD * self.level_m.last().copied().unwrap_or(0.0) / legs
        } else {
            METRES_SD_M
        }
    }
}
