//! What is asked about a figure that reads and makes no sense.

use super::Say;
use crate::finding::Slip;
use crate::unit::Units;

/// What was found, and what is usual.
pub(super) fn harm(slip: &Slip, at: &str, say: Say) -> String {
    match slip {
        Slip::Modulus {
            modulus_pa,
            usual_from_pa,
            usual_to_pa,
        } => format!(
            "The site file gives the pipe {at} an elastic modulus of {}. Usual values for this material are {} to {}. Is the unit correct? The surge calculation uses it.",
            modulus(*modulus_pa, say),
            modulus(*usual_from_pa, say),
            modulus(*usual_to_pa, say)
        ),
        Slip::WaveSpeed {
            wave_speed_m_per_s,
            usual_from_m_per_s,
            usual_to_m_per_s,
        } => format!(
            "The site file gives the pipe {at} a wave speed of {}. Usual values for such pipe are {} to {}. Is the value correct? The surge calculation uses it.",
            say.speed(*wave_speed_m_per_s),
            say.speed(*usual_from_m_per_s),
            say.speed(*usual_to_m_per_s)
        ),
        Slip::Roughness {
            roughness_m,
            bore_m,
        } => format!(
            "The site file gives the pipe {at} a roughness of {}. The inside diameter is {}. No friction chart includes such a roughness. Is the unit correct?",
            say.bore(*roughness_m),
            say.bore(*bore_m)
        ),
        Slip::Jet {
            nozzle_diameter_m,
            bore_m,
        } => format!(
            "The nozzle diameter is {}. The inside diameter of the pipe before it is {}. Almost no head is left at such a nozzle. Is the value correct?",
            say.bore(*nozzle_diameter_m),
            say.bore(*bore_m)
        ),
        Slip::NozzleHeight { nozzle_height_m } => format!(
            "The site file puts the nozzles {} {} the last point of the pipe. The survey does not go that far. Is the value correct?",
            say.head(nozzle_height_m.abs()),
            if *nozzle_height_m < 0.0 {
                "below"
            } else {
                "above"
            }
        ),
        Slip::WaterToWire { water_to_wire } => format!(
            "The site file gives an overall efficiency of {}. Usual values for small plants are 50 % to 70 %. Is the value correct?",
            say.share(*water_to_wire)
        ),
        Slip::Relief {
            name,
            opens_at_pa,
            standing_pa,
        } => format!(
            "The relief valve {name} {at} opens at {}. The static pressure there is {}, so the valve would never close. Is the value correct?",
            say.pressure(*opens_at_pa),
            say.pressure(*standing_pa)
        ),
        Slip::Level {
            water_level_m,
            crown_m,
        } => format!(
            "The static water level at the intake is {} above the pipe centre. The top of the pipe inlet is at {}. The pipe would draw air in. Is the value correct?",
            say.head(*water_level_m),
            say.head(*crown_m)
        ),
    }
}

/// What to do about it.
pub(super) fn mend(slip: &Slip) -> String {
    match slip {
        Slip::Modulus { .. } => "Check the modulus, or remove it. It is known for the material.",
        Slip::WaveSpeed { .. } => "Remove it. The program then calculates it from the wall and the material. Do not operate valves faster than that calculation allows.",
        Slip::Roughness { .. } => "Check its unit, or remove it. It is known for the material.",
        Slip::Jet { .. } => "Measure the nozzle diameter and the inside diameter of the pipe again.",
        Slip::NozzleHeight { .. } => "Survey the pipe to its end. The nozzle height is the height of the nozzle axis above the last point.",
        Slip::WaterToWire { .. } => "Enter the measured efficiency of the plant, or remove it. Without it, no electrical power is printed.",
        Slip::Relief { .. } => "Read the nameplate of the valve again. It must open above the static pressure there, and below the allowable pressure of the pipe.",
        Slip::Level { .. } => "Measure again from the pipe centre up to the static water level. If the value is correct, lower the pipe inlet.",
    }
    .to_owned()
}

/// In the unit that tables have: megapascals below a gigapascal, thousands of psi in feet.
fn modulus(pa: f64, say: Say) -> String {
    match say.units {
        Units::Us => format!("{:.0} ksi", pa / 6.894_757e6),
        Units::Metric if pa < 1e9 => format!("{:.0} MPa", pa / 1e6),
        Units::Metric => format!("{:.0} GPa", pa / 1e9),
    }
}
