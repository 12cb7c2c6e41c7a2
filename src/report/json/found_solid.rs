//! Figures of what the water carries.

use crate::finding::Solid;
use serde_json::{Value, json};

pub(super) fn solid(solid: &Solid) -> Value {
    match solid {
        Solid::JetBlocks {
            jet,
            nozzle_m,
            opening_m,
            at_once,
            wanted_m,
            surge_pa,
        } => {
            json!({"jet": jet, "nozzle_diameter_m": nozzle_m, "opening_m": opening_m, "at_once": at_once, "opening_wanted_m": wanted_m, "pressure_pa": surge_pa})
        }
        Solid::ClearanceBlocks {
            clearance_m,
            opening_m,
            at_once,
            wanted_m,
        } => {
            json!({"clearance_m": clearance_m, "opening_m": opening_m, "at_once": at_once, "opening_wanted_m": wanted_m})
        }
        Solid::ScreenFast {
            case,
            velocity_m_per_s,
            limit_m_per_s,
            wanted_m2,
        } => {
            json!({"case": case.to_string(), "velocity_m_per_s": velocity_m_per_s, "limit_m_per_s": limit_m_per_s, "wanted_m2": wanted_m2})
        }
        Solid::ScreenDrawsDown {
            case,
            clean_m,
            half_m,
            cover_m,
            wants_m,
        } => {
            json!({"case": case.to_string(), "clean_m": clean_m, "half_blocked_m": half_m, "has_m": cover_m, "wanted_m": wants_m})
        }
        Solid::ScreenSteep {
            slope_rad,
            limit_rad,
        } => {
            json!({"slope_deg": slope_rad.to_degrees(), "limit_deg": limit_rad.to_degrees()})
        }
    }
}
