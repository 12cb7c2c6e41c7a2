//! A rising section without a vent: what it is, and what to do.

use super::Say;
use crate::finding::{ClimbUnvented, DeclaredStep};
use crate::unit::Quantity;

/// What it is.
pub(super) fn unvented(climb: &ClimbUnvented, at: &str, say: Say) -> String {
    let ClimbUnvented {
        rise_m,
        rise_sd_m,
        crest_m,
        pocket_m3,
        by_hand_m,
        idle_m,
        vents_known,
        step,
        ..
    } = climb;
    let rise = say.head_sd(*rise_m, *rise_sd_m);
    let air = format!(
        "Up to {} of air can collect there in operation.",
        say.volume(*pocket_m3)
    );
    if let Some(step) = step {
        return format!(
            "The planned pipe rises {rise} {at}, because its position changes by {} there (for example from buried to elevated). The ground does not rise. {air}",
            say.head(step.up_m)
        );
    }
    let vent = match (by_hand_m, idle_m) {
        (Some(m), _) => format!(
            "Its only air vent is the hand-operated air cock at {}, and somebody must open it. ",
            say.station(*m)
        ),
        (None, Some(m)) => format!("The air vent at {} does not work. ", say.station(*m)),
        (None, None) if *vents_known => "It has no air vent. ".to_owned(),
        (None, None) => String::new(),
    };
    format!(
        "The pipe rises {rise} {at}. The high point is near {}. {vent}{air}",
        say.station(*crest_m)
    )
}

/// What to do about a step that is only planned.
pub(super) fn ramp(step: &DeclaredStep, say: Say) -> String {
    match step.ramp_m {
        Some(m) => format!(
            "Plan a ramp: let the pipe come up over {} or more, so that it falls all the way. Then no vent is necessary there.",
            say.at_least(Quantity::Head, m)
        ),
        None => "Plan the supports lower or the trench less deep, so that the pipe falls all the way. The ground is too level for a ramp.".to_owned(),
    }
}
