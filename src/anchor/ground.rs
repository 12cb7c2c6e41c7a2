//! What lies under the pipe at a station: soil, friction, how it sits, weights.

use crate::line::{Environment, Reach};
use crate::pipe::{Bed, Pipe, Pull, joint_limit};
use crate::unit::physics::water;

/// Depth that a block on a pipe above ground is dug to its middle, m (common practice, no source).
const DUG_IN_M: f64 = 0.5;

/// Depth of the pipe's centre where a block stands, m.
pub(super) fn depth_m(environment: &Environment, reach: Option<&Reach>, station_m: f64) -> f64 {
    let pipe = reach.map_or(0.0, |r| r.pipe.outer_diameter_m);
    match environment.laid_at(station_m) {
        Some(l) if l.bed == Bed::Buried => l.cover_m.unwrap_or(DUG_IN_M) + 0.5 * pipe,
        _ => DUG_IN_M,
    }
}

/// The pieces hold each other against pull: no block at bends.
pub fn is_restrained(reach: &Reach) -> bool {
    joint_limit(reach.joint, &reach.pipe).pull == Pull::Holds
}

/// Weight of the empty pipe, N/m.
pub fn empty_n_per_m(pipe: &Pipe, gravity_m_per_s2: f64) -> f64 {
    pipe.mass_kg_per_m * gravity_m_per_s2
}

/// Weight of the pipe full of water, N/m.
pub fn full_n_per_m(pipe: &Pipe, water: SiteWater) -> f64 {
    (pipe.mass_kg_per_m + pipe.bore_area_m2() * water.density_kg_per_m3) * water.gravity_m_per_s2
}

/// Water with the gravity of the place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SiteWater {
    /// Density, kg/m3.
    pub density_kg_per_m3: f64,
    /// Gravity, m/s2.
    pub gravity_m_per_s2: f64,
}

impl SiteWater {
    /// The usual water of the line.
    pub(super) fn of(environment: &Environment) -> Self {
        Self {
            density_kg_per_m3: water(environment.water.usual_c).density_kg_per_m3,
            gravity_m_per_s2: environment.situation.gravity_m_per_s2,
        }
    }
}

/// Area of the wall, m2: least wall, mean girth.
pub fn wall_area_m2(pipe: &Pipe) -> f64 {
    std::f64::consts::PI * (pipe.outer_diameter_m - pipe.wall_m) * pipe.wall_m
}
