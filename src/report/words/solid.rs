//! What is said of what the water carries.

use super::Say;
use crate::finding::Solid;
use crate::pipe::Cleaner;
use crate::study::Study;
use crate::unit::Quantity;

/// What was found.
pub(super) fn harm(solid: &Solid, say: Say) -> String {
    match solid {
        Solid::JetBlocks {
            jet,
            nozzle_m,
            opening_m,
            at_once,
            surge_pa,
            ..
        } => format!(
            "The screen has openings of {}. {} The diameter of nozzle {jet} is {}.{}",
            say.bore(*opening_m),
            if *at_once {
                "A stone that goes through them can block a nozzle suddenly."
            } else {
                "One stone that goes through them cannot block a nozzle. Two stones or a stick can."
            },
            say.bore(*nozzle_m),
            surge_pa.map_or_else(String::new, |pa| format!(
                " When a nozzle is blocked suddenly, the pressure at the turbine rises to {}.",
                say.pressure(pa)
            ))
        ),
        Solid::ClearanceBlocks {
            clearance_m,
            opening_m,
            at_once,
            ..
        } => format!(
            "The screen has openings of {}. The smallest clearance of the machine is {}. {}",
            say.bore(*opening_m),
            say.bore(*clearance_m),
            if *at_once {
                "A stone that goes through the screen can stop the machine or break it."
            } else {
                "One stone that goes through the screen cannot block it. Two stones or a stick can."
            }
        ),
        Solid::ScreenFast {
            case,
            velocity_m_per_s,
            limit_m_per_s,
            ..
        } => format!(
            "The velocity at the screen is {} ({case}). Above {}, the water holds leaves and stones on the screen.",
            say.speed(*velocity_m_per_s),
            say.speed(*limit_m_per_s)
        ),
        Solid::ScreenDrawsDown {
            case,
            clean_m,
            half_m,
            cover_m,
            wants_m,
        } => format!(
            "The head loss of the screen is {} when it is clean, and {} when it is half blocked ({case}). The submergence of the pipe inlet is then {}. Required: {}.",
            say.head(*clean_m),
            say.head(*half_m),
            say.head(*cover_m),
            say.head(*wants_m)
        ),
        Solid::ScreenSteep {
            slope_rad,
            limit_rad,
        } => format!(
            "The screen is cleaned by hand. Its slope is {}. A rake does not hold the debris on a screen that is steeper than {}.",
            say.angle(*slope_rad),
            say.angle(*limit_rad)
        ),
    }
}

/// What to do about it.
pub(super) fn mend(solid: &Solid, say: Say) -> String {
    match solid {
        Solid::JetBlocks { wanted_m, .. } => format!(
            "Use a screen with openings of {} or less. Check the surge of \"one jet blocked\": a stone closes a nozzle immediately.",
            say.at_most(Quantity::Bore, *wanted_m)
        ),
        Solid::ClearanceBlocks { wanted_m, .. } => format!(
            "Use a screen with openings of {} or less. Do not put a hand into the machine: isolate it first.",
            say.at_most(Quantity::Bore, *wanted_m)
        ),
        Solid::ScreenFast { wanted_m2, .. } => format!(
            "Make the wetted area of the screen {} or more, square to the flow. Do not reach into an operating intake.",
            say.at_least(Quantity::Area, *wanted_m2)
        ),
        Solid::ScreenDrawsDown { .. } => "Use a larger screen, or clean it before it is half blocked. Or lower the pipe inlet. Read the level behind the screen each day.".to_owned(),
        Solid::ScreenSteep { limit_rad, .. } => format!(
            "Set the screen at {} or less from the horizontal. Give the person who cleans it a safe place to stand.",
            say.angle(*limit_rad)
        ),
    }
}

/// What is told of the screen, each sentence with the key of its figure: what passes, the velocity, the head loss, who cleans it.
pub fn screen_lines(study: &Study, say: Say) -> Vec<(&'static str, String)> {
    let (Some(screen), Some(passes)) = (&study.line.screen, &study.passes) else {
        return Vec::new();
    };
    let mut out = vec![(
        "opening",
        match passes.wanted_m {
            Some(wanted_m) => format!(
                "Screen openings: {}. Required for the smallest passage behind the screen: {} or less.",
                say.bore(passes.opening_m),
                say.at_most(Quantity::Bore, wanted_m)
            ),
            None => format!("Screen openings: {}.", say.bore(passes.opening_m)),
        },
    )];
    if let Some(flow) = &study.screen {
        if let Some(before) = flow.before_m_per_s {
            let between = flow.between_m_per_s.map_or_else(String::new, |v| {
                format!(" In its openings: {}.", say.speed(v))
            });
            out.push((
                "velocity",
                format!(
                    "Velocity at the screen with {}: {}.{between}",
                    flow.case,
                    say.speed(before)
                ),
            ));
        }
        if let Some((clean, half)) = flow.clean_m.zip(flow.half_m) {
            out.push((
                "loss",
                format!(
                    "Head loss of the screen: {} clean, {} half blocked.{}",
                    say.head(clean),
                    say.head(half),
                    if flow.outside {
                        " The formula was not measured on such a screen."
                    } else {
                        ""
                    }
                ),
            ));
        }
    }
    let slope = screen.slope_rad.map_or_else(String::new, |rad| {
        format!("The screen slopes {} from the horizontal. ", say.angle(rad))
    });
    let cleaned = match screen.cleaned {
        Some(Cleaner::Hand) => "A person cleans it by hand.",
        Some(Cleaner::Rake) => "A powered rake cleans it. Isolate the rake before you work on it.",
        Some(Cleaner::Itself) => "The water keeps it clear. Inspect it after each flood.",
        None => "The site file does not say who cleans it.",
    };
    out.push(("cleaning", format!("{slope}{cleaned}")));
    out
}

/// The same on one line: openings, velocity, loss.
pub fn screen_row(study: &Study, say: Say) -> Option<String> {
    let passes = study.passes.as_ref()?;
    let mut parts = vec![format!("openings {}", say.bore(passes.opening_m))];
    if let Some(flow) = &study.screen {
        if let Some(before) = flow.before_m_per_s {
            parts.push(format!("velocity {}", say.speed(before)));
        }
        if let Some((clean, half)) = flow.clean_m.zip(flow.half_m) {
            parts.push(format!(
                "head loss {} clean, {} half blocked",
                say.head(clean),
                say.head(half)
            ));
        }
    }
    Some(parts.join(", "))
}
