//! Tape with clinometer, grade, rise, steps, water tube or stadia: legs to a string of points.

mod leg;
mod legs;
mod refuse;
mod string;

pub use leg::{LegRow, RiseMeasure, Stadia, reduce_leg};
pub use string::{LineOfLegs, StringPoint, string};

/// One leg reduced to the level and the plumb line, as seen from its `from`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ReducedLeg {
    /// Length along the slope, m.
    pub slope_m: f64,
    /// Level length, m.
    pub level_m: f64,
    /// Height of `to` less height of `from`, m.
    pub rise_m: f64,
    /// Standard deviation of the rise that belongs to this leg alone, m.
    pub sd_m: f64,
    /// Rise that one radian of index error adds, m.
    pub per_index_m: f64,
    /// Rise that one metre of error in the eye's height adds, m per m (steps).
    pub per_eye: f64,
    /// Bearing from true north, rad.
    pub bearing_rad: Option<f64>,
}
