//! What a running state is computed under, beside the line itself.

use crate::line::Environment;
use crate::unit::physics::{WaterProperties, water};

/// The water and the walls that a state is computed with.
#[derive(Debug, Clone, PartialEq)]
pub struct Conditions {
    /// The water.
    pub water: WaterProperties,
    /// How far the walls have gone from new (0) to slimed or rusted (1).
    pub slime: f64,
    /// Every bore times this.
    pub bore_share: f64,
    /// Every friction factor times this.
    pub friction_share: f64,
    /// Air that stands in the pipe while it runs.
    pub standing_air: Vec<StandingAir>,
}

/// Air that stands in the pipe and takes head: its upright length in the falling leg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StandingAir {
    /// Where, m.
    pub station_m: f64,
    /// Head it takes, m.
    pub head_m: f64,
}

impl Conditions {
    /// New pipe, the line's usual water, no air.
    pub fn usual(environment: &Environment) -> Self {
        Self {
            water: water(environment.water.usual_c),
            slime: 0.0,
            bore_share: 1.0,
            friction_share: 1.0,
            standing_air: Vec::new(),
        }
    }
}
