//! Whether the water is quick enough to carry silt on, and how quick it must be to flush it out.

use super::checks::Carrying;
use super::{Regime, Run};

/// Drag on the wall, Pa, that moves silt and fine sand on (own choice within the 1 to 2 Pa of sewer practice; from memory).
pub const MOVES_SILT_PA: f64 = 1.0;

/// Drag on the wall, Pa, that lifts sand and grit which has settled (own choice within the 2 to 4 Pa of sewer practice; from memory).
pub const FLUSHES_GRIT_PA: f64 = 4.0;

impl Carrying {
    /// Silt settles here in this state.
    pub fn settles(&self) -> bool {
        self.velocity_m_per_s < self.carries_m_per_s
    }
}

/// Velocity at which water drags on the wall with so much, m/s: sqrt(8 drag / (density f)), exact for a full pipe.
pub fn velocity_for_drag_m_per_s(drag_pa: f64, friction_factor: f64, density: f64) -> f64 {
    (8.0 * drag_pa / (density * friction_factor)).sqrt()
}

/// Each stretch of a run. The friction factor of the run is taken for the other speeds too: it changes slowly.
pub fn carrying(run: &Run) -> Vec<Carrying> {
    run.stretches
        .iter()
        .filter(|s| s.regime != Regime::Still && s.friction_factor > 0.0)
        .map(|s| {
            let speed = |drag| {
                velocity_for_drag_m_per_s(drag, s.friction_factor, run.water.density_kg_per_m3)
            };
            Carrying {
                from_m: s.from_m,
                to_m: s.to_m,
                velocity_m_per_s: s.velocity_m_per_s,
                carries_m_per_s: speed(MOVES_SILT_PA),
                flushes_m_per_s: speed(FLUSHES_GRIT_PA),
            }
        })
        .collect()
}
