//! The frame that a section is drawn in.

use super::advance::text_width;
use super::frame::TYPE_MM;
use super::item::{Box, PaperPoint};
use super::section::LongSection;

/// Height of the strip that labels stand in, mm.
pub(super) const LABELS_MM: f64 = 46.5;

/// Room of a leader under its label, mm.
pub(super) const LEADER_MM: f64 = 6.6;

/// Height of the strip under the chart with the stations' ruling, mm.
pub(super) const RULING_MM: f64 = 4.6;

/// Height of a row of the table, mm.
pub(super) const ROW_MM: f64 = 4.5;

/// Room of a standing label, mm.
pub(super) const LABEL_PITCH_MM: f64 = 3.9;

/// The chart on a sheet: which station and height lies where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Left edge, mm.
    pub left_mm: f64,
    /// Right edge, mm.
    pub right_mm: f64,
    /// Top edge, mm.
    pub top_mm: f64,
    /// Bottom edge, mm.
    pub bottom_mm: f64,
    /// First station, m.
    pub from_m: f64,
    /// Last station, m.
    pub to_m: f64,
    /// Height at the bottom edge, m.
    pub base_m: f64,
    /// Millimetres a metre of station.
    pub mm_per_m: f64,
    /// Millimetres a metre of height.
    pub up_mm_per_m: f64,
}

impl Frame {
    /// Where a station and a height lie.
    pub fn at(&self, station_m: f64, height_m: f64) -> PaperPoint {
        (self.x(station_m), self.y(height_m))
    }

    /// Where a station lies, mm from the left.
    pub fn x(&self, station_m: f64) -> f64 {
        self.left_mm + (station_m - self.from_m) * self.mm_per_m
    }

    /// Where a height lies, mm from the top.
    pub fn y(&self, height_m: f64) -> f64 {
        self.bottom_mm - (height_m - self.base_m) * self.up_mm_per_m
    }

    /// The chart's rectangle.
    pub fn area(&self) -> Box {
        Box {
            left: self.left_mm,
            top: self.top_mm,
            right: self.right_mm,
            bottom: self.bottom_mm,
        }
    }
}

/// Height of the strip that labels stand in: as high as the longest of them, mm.
pub(super) fn labels_mm(section: &LongSection) -> f64 {
    let longest = section
        .tags
        .iter()
        .map(|t| text_width(&t.label, TYPE_MM, false))
        .fold(0.0, f64::max);
    (longest + LEADER_MM + 1.0).clamp(16.0, LABELS_MM)
}

pub(super) fn f64_of(count: usize) -> f64 {
    count as f64
}
