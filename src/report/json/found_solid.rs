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
        Solid::GritWears {
            grain_m,
            bears_m,
            net_head_m,
            area_m2,
        } => {
            json!({"grain_mm": 1e3 * grain_m, "bears_mm": 1e3 * bears_m, "net_head_m": net_head_m, "area_wanted_m2": area_m2})
        }
        Solid::BasinSmall {
            case,
            grain_m,
            share,
            area_m2,
        } => {
            json!({"case": case.to_string(), "grain_mm": 1e3 * grain_m, "share": share, "area_wanted_m2": area_m2})
        }
        Solid::BasinFast {
            case,
            velocity_m_per_s,
            limit_m_per_s,
            section_m2,
        } => {
            json!({"case": case.to_string(), "velocity_m_per_s": velocity_m_per_s, "limit_m_per_s": limit_m_per_s, "section_wanted_m2": section_m2})
        }
        Solid::BasinNotFlushed {
            flow_m3_per_s,
            wanted_m3_per_s,
        } => {
            json!({"flow_m3_per_s": flow_m3_per_s, "wanted_m3_per_s": wanted_m3_per_s})
        }
        Solid::NozzleWears {
            jet,
            after_s,
            speed_m_per_s,
        } => {
            json!({"jet": jet, "worn_after_s": after_s, "speed_m_per_s": speed_m_per_s})
        }
    }
}
