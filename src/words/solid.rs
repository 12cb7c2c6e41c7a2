//! What is said of what the water carries.

use super::Say;
use crate::finding::Solid;
use crate::pipe::Cleaner;
use crate::study::Study;
use crate::unit::exact::INCH_M;
use crate::unit::{Quantity, Units};

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
                "One stone that goes through them cannot block a nozzle. Two stones or a twig can."
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
                "One stone that goes through the screen cannot block it. Two stones or a twig can."
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
        Solid::GritWears {
            grain_m,
            bears_m,
            net_head_m,
            ..
        } => format!(
            "Sand of up to {} reaches the machine. At a net head of {}, sand of more than {} wears nozzles and runner quickly.",
            grain(*grain_m, say),
            say.head(*net_head_m),
            grain(*bears_m, say)
        ),
        Solid::BasinSmall {
            case,
            grain_m,
            share,
            ..
        } => format!(
            "The settling basin settles {} of the sand of {} ({case}). Required: {}.",
            say.share(*share),
            grain(*grain_m, say),
            say.share(crate::solids::SETTLES)
        ),
        Solid::BasinFast {
            case,
            velocity_m_per_s,
            limit_m_per_s,
            ..
        } => format!(
            "The velocity in the settling basin is {} ({case}). Above {}, the water carries the settled sand away.",
            say.speed(*velocity_m_per_s),
            say.speed(*limit_m_per_s)
        ),
        Solid::BasinNotFlushed { flow_m3_per_s, .. } => format!(
            "The flushing flow of {} does not move the settled sand out of the basin.",
            say.flow(*flow_m3_per_s)
        ),
        Solid::NozzleWears {
            jet,
            after_s,
            speed_m_per_s,
        } => format!(
            "The area of nozzle {jet} increases by 5 % in {} in operation, at a jet velocity of {}. This is less than a year.",
            say.time(*after_s),
            say.speed(*speed_m_per_s)
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
        Solid::GritWears { area_m2, .. } => format!(
            "Build a settling basin with a surface of {} or more, or stop the plant while the stream is muddy. Inspect nozzles and runner each month.",
            say.at_least(Quantity::Area, *area_m2)
        ),
        Solid::BasinSmall { area_m2, .. } => format!(
            "Make the surface of the basin {} or more. Or stop the plant while the stream is muddy.",
            say.at_least(Quantity::Area, *area_m2)
        ),
        Solid::BasinFast { section_m2, .. } => format!(
            "Make the basin wider or deeper: a cross-section of {} or more above the sand.",
            say.at_least(Quantity::Area, *section_m2)
        ),
        Solid::BasinNotFlushed {
            wanted_m3_per_s, ..
        } => format!(
            "Flush with {} or more, or make the floor steeper. A permit is usually necessary to release sand into the stream.",
            say.at_least(Quantity::Flow, *wanted_m3_per_s)
        ),
        Solid::NozzleWears { .. } => "Keep the sand out: a settling basin, and a stop while the stream is muddy. Keep spare nozzles of hard metal. Measure the nozzle diameter each year.".to_owned(),
        Solid::ScreenSteep { limit_rad, .. } => format!(
            "Install the screen at {} or less from the horizontal. Give the person who cleans it a safe place to stand.",
            say.angle(*limit_rad)
        ),
    }
}

/// What is told of the screen, each sentence with the key of its figure: what passes, the velocity, the head loss, who cleans it.
pub fn screen_lines(study: &Study, say: Say) -> Vec<(&'static str, String)> {
    let (Some(screen), Some(passes)) = (&study.line.works.screen, &study.passes) else {
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

/// A grain as sieves are named.
fn grain(m: f64, say: Say) -> String {
    if say.units == Units::Us {
        return format!("{:.3} in", m / INCH_M);
    }
    let mm = 1e3 * m;
    if mm < 0.1 {
        format!("{mm:.2} mm")
    } else {
        format!("{mm:.1} mm")
    }
}

/// What is told of the sand: the basin that it asks for, the one that is there, what reaches the machine, the wear.
pub fn grit_lines(study: &Study, say: Say) -> Vec<String> {
    let Some(c) = &study.grit else {
        return Vec::new();
    };
    let mut out = vec![format!(
        "Sand of {} settles at {} in the coldest water. With {}, a basin for it has a surface of {} or more. Its cross-section is {} or more.",
        grain(c.grain_m, say),
        say.speed(c.asked.settles_m_per_s),
        c.case,
        say.at_least(Quantity::Area, c.asked.area_m2),
        say.at_least(Quantity::Area, c.asked.section_m2)
    )];
    if let Some(s) = &c.settled {
        out.push(format!(
            "The settling basin settles {} of this sand. The velocity in it is {}.",
            say.share(s.share),
            say.speed(s.through_m_per_s)
        ));
        if let Some(fills_s) = s.fills_s {
            out.push(format!(
                "The space for sand is full after about {}. Flush the basin before that time.",
                say.time(fills_s)
            ));
        }
        if let Some(wanted) = s.flush_wanted_m3_per_s {
            out.push(format!(
                "Minimum flushing flow: {}.",
                say.at_least(Quantity::Flow, wanted)
            ));
        }
    }
    out.push(format!(
        "Sand of up to {} reaches the machine. The largest grain for this head is {}.",
        grain(c.reaches_m, say),
        grain(c.bears_m, say)
    ));
    if let Some(wear) = &c.wear {
        out.push(match wear.worn_after_s {
            Some(s) => format!(
                "The area of nozzle {} increases by 5 % in about {} in operation, by the measured wear.",
                wear.jet,
                say.time(s)
            ),
            None => format!(
                "The time until nozzle {} is worn is not known: no published formula gives it from the sand alone. Its area is 5 % larger when its diameter is {} larger. Measure the diameter, operate it for some weeks, and measure again. Enter the increase and the hours with `worn_by` and `worn_hours`.",
                wear.jet,
                say.bore(crate::solids::wider_m(wear.nozzle_diameter_m, crate::solids::WORN_SHARE))
            ),
        });
    }
    out
}

/// The same on one line.
pub fn grit_row(study: &Study, say: Say) -> Option<String> {
    let c = study.grit.as_ref()?;
    let basin = c.settled.as_ref().map_or_else(
        || {
            format!(
                "basin surface {} or more",
                say.at_least(Quantity::Area, c.asked.area_m2)
            )
        },
        |s| format!("basin settles {}", say.share(s.share)),
    );
    let worn = c
        .wear
        .as_ref()
        .and_then(|w| w.worn_after_s)
        .map_or_else(String::new, |s| {
            format!(", nozzle worn 5 % in {}", say.time(s))
        });
    Some(format!("sand of {}: {basin}{worn}", grain(c.grain_m, say)))
}
