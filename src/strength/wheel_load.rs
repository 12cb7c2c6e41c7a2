//! Traffic over a buried reach.

use crate::pipe::Traffic;

/// Traffic over a buried reach.
#[derive(Debug, Clone, PartialEq)]
pub struct WheelLoad {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Traffic.
    pub traffic: Traffic,
    /// What it comes to, or why it is not judged.
    pub outcome: Result<Pressed, NoWheel>,
}

/// A pipe pressed from outside by ground, wheel and suction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pressed {
    /// From the wheel, Pa.
    pub wheel_pa: f64,
    /// From the ground above, Pa.
    pub ground_pa: f64,
    /// What the buried ring may take, Pa, safety counted.
    pub allowed_pa: f64,
    /// Wheel, ground and the largest suction there over that.
    pub share: f64,
}

/// Why traffic is not judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum NoWheel {
    /// The cover is not stated.
    CoverUnknown,
    /// The cover is too thin for the formula and for counting on the ground.
    CoverTooThin,
    /// The soil is not stated.
    SoilUnknown,
    /// Peat, mud or soft clay does not hold a ring.
    SoilTooSoft,
    /// The wall is not known.
    WallUnknown,
}
