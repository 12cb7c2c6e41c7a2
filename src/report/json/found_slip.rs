//! Figures of what is asked about.

use crate::finding::Slip;
use serde_json::{Value, json};

pub(super) fn slip(slip: &Slip) -> Value {
    match slip {
        Slip::Modulus {
            modulus_pa,
            usual_pa,
        } => {
            json!({"modulus_pa": modulus_pa, "usual_from_pa": usual_pa.0, "usual_to_pa": usual_pa.1})
        }
        Slip::WaveSpeed {
            wave_speed_m_per_s,
            usual_m_per_s,
        } => {
            json!({"wave_speed_m_per_s": wave_speed_m_per_s, "usual_from_m_per_s": usual_m_per_s.0, "usual_to_m_per_s": usual_m_per_s.1})
        }
        Slip::Roughness {
            roughness_m,
            bore_m,
        } => {
            json!({"roughness_m": roughness_m, "bore_m": bore_m})
        }
        Slip::Jet {
            nozzle_diameter_m,
            bore_m,
        } => json!({"nozzle_diameter_m": nozzle_diameter_m, "bore_m": bore_m}),
        Slip::NozzleHeight { nozzle_height_m } => json!({"nozzle_height_m": nozzle_height_m}),
        Slip::WaterToWire { water_to_wire } => json!({"water_to_wire": water_to_wire}),
        Slip::Relief {
            name,
            opens_at_pa,
            standing_pa,
        } => json!({"name": name, "opens_at_pa": opens_at_pa, "standing_pa": standing_pa}),
        Slip::Level {
            water_level_m,
            crown_m,
        } => json!({"water_level_m": water_level_m, "crown_m": crown_m}),
    }
}
