//! What is asked about a figure that reads and makes no sense.

use super::Say;
use crate::finding::Slip;
use crate::unit::Units;

/// What was found, and what is usual.
pub(super) fn harm(slip: &Slip, at: &str, say: Say) -> String {
    match slip {
        Slip::Modulus {
            modulus_pa,
            usual_pa,
        } => format!(
            "The pipe's wall {at} was given a modulus of {}; such pipe has {} to {}. Is this a slip of the unit? The surge was reckoned with it.",
            modulus(*modulus_pa, say),
            modulus(usual_pa.0, say),
            modulus(usual_pa.1, say)
        ),
        Slip::WaveSpeed {
            wave_speed_m_per_s,
            usual_m_per_s,
        } => format!(
            "The pipe {at} was given a wave speed of {}; such pipe full of water has {} to {}. Is this a slip? The surge was reckoned with it.",
            say.speed(*wave_speed_m_per_s),
            say.speed(usual_m_per_s.0),
            say.speed(usual_m_per_s.1)
        ),
        Slip::Roughness {
            roughness_m,
            bore_m,
        } => format!(
            "The pipe {at} was given a roughness of {} in a bore of {}: no chart of friction goes so far. Is this a slip of the unit?",
            say.bore(*roughness_m),
            say.bore(*bore_m)
        ),
        Slip::Jet {
            nozzle_diameter_m,
            bore_m,
        } => format!(
            "A jet of {} is as wide as the pipe before it, {}, or wider: hardly any head is left there. Is this a slip?",
            say.bore(*nozzle_diameter_m),
            say.bore(*bore_m)
        ),
        Slip::NozzleHeight { nozzle_height_m } => format!(
            "The nozzles were given as {} {} the pipe's last point: pipe that far was not surveyed. Is this a slip?",
            say.head(nozzle_height_m.abs()),
            if *nozzle_height_m < 0.0 {
                "below"
            } else {
                "above"
            }
        ),
        Slip::WaterToWire { water_to_wire } => format!(
            "A plant that makes electricity of {} of the water's power was given; small ones make 50 % to 70 %. Is this a slip?",
            say.share(*water_to_wire)
        ),
        Slip::Relief {
            name,
            opens_at_pa,
            standing_pa,
        } => format!(
            "The relief valve {name} {at} opens at {}, and {} stands on it while nothing runs: it would never shut. Is this a slip?",
            say.pressure(*opens_at_pa),
            say.pressure(*standing_pa)
        ),
        Slip::Level {
            water_level_m,
            crown_m,
        } => format!(
            "The still water at the intake was given as {} above the pipe's centre; the crown of its bore is at {}: the pipe would draw air. Is this a slip?",
            say.head(*water_level_m),
            say.head(*crown_m)
        ),
    }
}

/// What to do about it.
pub(super) fn mend(slip: &Slip) -> String {
    match slip {
        Slip::Modulus { .. } => "Look the modulus up again, or leave it out: it is known for the material.",
        Slip::WaveSpeed { .. } => "Leave it out, and it is worked out from wall and material; move valves no faster than that allows.",
        Slip::Roughness { .. } => "Look at its unit, or leave it out: it is known for the material.",
        Slip::Jet { .. } => "Measure the hole of the nozzle again, and the pipe's bore.",
        Slip::NozzleHeight { .. } => "Survey the pipe to its end; the height is the nozzles' axis above the last point.",
        Slip::WaterToWire { .. } => "State what the plant was measured to make, or leave it out: then no watts are printed.",
        Slip::Relief { .. } => "Read the valve's plate again; it must open above the pressure that stands on it, and below what the pipe may take.",
        Slip::Level { .. } => "Measure from the pipe's centre up to the still water; if it is so, set the mouth deeper.",
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
