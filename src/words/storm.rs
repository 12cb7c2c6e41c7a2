use super::Say;
use super::label::kind_label;
use super::verdict::only_once;
use crate::compare::{
    ClimbAir, Compared, DetectionLimit, Equipment, Moved, MovedVerdict, OffLine, UrgentAction,
};
use crate::line::{Appurtenance, Fitting};
use crate::pipe::MarkKind;
use crate::regrade::RegradePlan;

/// What to do first, in one line each, the most urgent first.
pub fn tonight(compared: &Compared, stands: &[Appurtenance], say: Say) -> Vec<String> {
    compared
        .tonight
        .iter()
        .map(|t| one(t, compared, stands, say))
        .collect()
}

fn one(tonight: &UrgentAction, compared: &Compared, stands: &[Appurtenance], say: Say) -> String {
    match tonight {
        UrgentAction::ShutDown { station_m } => {
            format!(
                "Do not operate. Close the intake slowly, and keep the air inlet below it open. The pipe can burst, collapse or separate near {}.",
                say.station(*station_m)
            )
        }
        UrgentAction::Forbidden { count, new, first_m } => {
            let (what, them) = if *count == 1 {
                ("one finding below forbids", "it")
            } else {
                ("findings below forbid", "them")
            };
            let count = if *count == 1 { String::new() } else { format!("{count} ") };
            let since = match new {
                0 => " The storm did not cause this. It existed before.",
                _ => "",
            };
            format!(
                "Do not fill or operate the pipeline. If it operates, close the intake slowly. Reason: {count}{what} operation, the first at {}. Correct {them} before you do anything else.{since}",
                say.station(*first_m)
            )
        }
        UrgentAction::Walk { sight, unseen_m } => walk(*sight, unseen_m, say),
        UrgentAction::LookAtJoints {
            from_m,
            to_m,
            longer_m,
        } => {
            format!(
                "Inspect every joint {} before you pressurize the pipe. The pipe is {} longer there.",
                say.between(*from_m, *to_m),
                say.head(*longer_m)
            )
        }
        UrgentAction::KeepClear { reaches_m } => format!(
            "Do not stand on or below these sections: {}. The ground moved there. It can move again.",
            say.reaches(reaches_m)
        ),
        UrgentAction::RunLow {
            jets,
            vented,
            held,
            missing,
        } => {
            let how = if *jets { "with one nozzle" } else { "at the minimum flow" };
            // The verdict's own words: whoever reads this line alone must know it too.
            let once = only_once(*missing);
            let when = match (vented, held) {
                (true, true) => "When the air is released and the restraints are sound again, you",
                (true, false) => "When the air is released, you",
                (false, true) => "When the restraints are sound again where the pipe moved, you",
                (false, false) if once.is_some() => "Then you",
                (false, false) => "You",
            };
            let and = if compared.moved.is_empty() {
                "the pipeline"
            } else {
                "the sections that moved"
            };
            let once = once.map_or_else(String::new, |once| format!("{once} "));
            format!("{once}{when} may operate {how}. One person must watch the gauge and {and}.")
        }
        UrgentAction::RunAsBefore {
            looked,
            changed,
            left,
        } => {
            let run = match (changed, looked) {
                (true, true) => "If that walk shows nothing new, you may operate as before.",
                (true, false) => "You may operate as before.",
                (false, true) => {
                    "If that walk shows nothing new, nothing changed, and you may operate as before."
                }
                (false, false) => "These surveys show no change. You may operate as before.",
            };
            let left = match left {
                0 => String::new(),
                1 => " 1 older problem still needs correction; see below.".to_owned(),
                n => format!(" {n} older problems still need correction; see below."),
            };
            format!("{run}{left}")
        }
        UrgentAction::ShutToWork => {
            "Do these steps before you dig, raise the pipe or open a joint. Close the intake slowly. Keep the air inlet below it open. Release the pressure at the lower end."
                .to_owned()
        }
        UrgentAction::LetAirOut { stations_m, air } => {
            let at = say.stations(stations_m);
            match air {
                ClimbAir::Locks => {
                    format!("Before filling, open or install a vent near {at}. Without it, an air lock blocks the pipeline.")
                }
                ClimbAir::MayLock => {
                    format!("Before filling, open or install a vent near {at}. Without it, an air lock can block the pipeline.")
                }
                ClimbAir::HoldsBack(share) => format!(
                    "Open or install a vent near {at}. With air trapped there, only {} of the power is left.",
                    say.share(*share)
                ),
            }
        }
        UrgentAction::OpenCocks { stations_m } => format!(
            "Fill slowly. Keep the air cocks open at {} until water comes out.",
            say.stations(stations_m)
        ),
        UrgentAction::RunLess { station_m } => format!(
            "Keep the flow low. Near {} the pressure in the pipe is negative in operation.",
            say.station(*station_m)
        ),
        UrgentAction::CheckHolds {
            stands: moved,
            is_sure,
        } => {
            let named: Vec<String> = moved
                .iter()
                .take(4)
                .map(|(stand, station_m)| {
                    let what = stands
                        .get(*stand)
                        .map_or("restraint", |s| kind_label(s.kind));
                    format!("the {what} at {}", say.station(*station_m))
                })
                .collect();
            let more = match moved.len().saturating_sub(named.len()) {
                0 => String::new(),
                n => format!(" and {n} more"),
            };
            format!(
                "Inspect {}{more}. The pipe {} there. {} may not hold the pipe.",
                named.join(", "),
                if *is_sure { "moved" } else { "may have moved" },
                if moved.len() == 1 { "It" } else { "They" }
            )
        }
        UrgentAction::EaseBend { station_m } => format!(
            "Increase the bend radius near {}. The bend is sharper than the minimum bend radius.",
            say.station(*station_m)
        ),
        UrgentAction::Level { reaches_m } => format!(
            "Before digging, survey {} with level and staff, and compare again. The present survey is not accurate enough.",
            say.reaches(reaches_m)
        ),
        UrgentAction::Regrade { plan } => compared
            .regrade
            .get(*plan)
            .map_or_else(String::new, |plan| regrade(plan, say)),
    }
}

/// What the surveys leave to the eye.
fn walk(sight: Option<DetectionLimit>, unseen_m: &[(f64, f64)], say: Say) -> String {
    let mut why = Vec::new();
    if !unseen_m.is_empty() {
        let were = if unseen_m.len() == 1 { "was" } else { "were" };
        why.push(format!(
            "{} {were} not surveyed again.",
            say.reaches(unseen_m)
        ));
    }
    why.extend(sight.map(|s| unseen(s, say)));
    format!(
        "Walk along the pipe. Look for new cracks, exposed or bent pipe, and wet ground. {}",
        why.join(" ")
    )
}

/// What stays unseen between the surveys.
pub fn unseen(sight: DetectionLimit, say: Say) -> String {
    let aside = match sight.side_m {
        Some(side_m) => format!(" or {} sideways", say.about(side_m)),
        None => " down, or that moved sideways".to_owned(),
    };
    let up = if sight.side_m.is_some() {
        " up or down"
    } else {
        " up or"
    };
    format!(
        "These surveys cannot always show a section of {} that moved less than {}{up}{aside}.",
        say.paced(sight.over_m),
        say.about(sight.up_m)
    )
}

/// The least work, in one line.
fn regrade(plan: &RegradePlan, say: Say) -> String {
    let mut work = Vec::new();
    if plan.deepest_m > 0.0 {
        work.push(format!("Dig up to {}", say.head(plan.deepest_m)));
    }
    if plan.highest_m > 0.0 {
        work.push(format!("Raise the pipe up to {}", say.head(plan.highest_m)));
    }
    let then = if !plan.remaining.is_empty() {
        "The pipe then still rises where it must not be changed".to_owned()
    } else if !plan.is_sure() {
        plan.sure.map_or_else(
            || "The probability that the pipe then falls all the way is not known. Survey it with a level first".to_owned(),
            |sure| {
                format!(
                    "The probability that the pipe then falls all the way is only {}. Survey it with a level first",
                    say.share(sure)
                )
            },
        )
    } else if plan.sure_with_extra > plan.sure {
        "With the additional depth at each stake, the probability that the pipe falls all the way is 90 %"
            .to_owned()
    } else {
        "The pipe then falls all the way".to_owned()
    };
    format!(
        "When it is safe, set out the {} stakes of the plan \"{}\" (stakes.csv). {}. {then}.",
        plan.stakes.len(),
        plan.kind.word(),
        work.join(". ")
    )
}

/// How a reach moved: up or down, aside, along, longer.
pub fn movement(m: &Moved, say: Say) -> String {
    let mut parts = Vec::new();
    let direction = |value: f64, positive: &str, negative: &str| {
        if value >= 0.0 {
            positive.to_owned()
        } else {
            negative.to_owned()
        }
    };
    if m.up_m.abs() > 2.0 * m.up_sd_m {
        parts.push(format!(
            "{} {}",
            say.head_sd(m.up_m.abs(), m.up_sd_m),
            direction(m.up_m, "up", "down")
        ));
    }
    if let (Some(side), Some(sd)) = (m.side_m, m.side_sd_m)
        && side.abs() > 2.0 * sd
    {
        parts.push(format!(
            "{} {}",
            say.head_sd(side.abs(), sd),
            direction(side, "to the left", "to the right")
        ));
    }
    if let (Some(along), Some(sd)) = (m.along_m, m.along_sd_m)
        && along.abs() > 2.0 * sd
    {
        parts.push(format!(
            "{} {}",
            say.head_sd(along.abs(), sd),
            direction(along, "downhill along the pipe", "uphill along the pipe")
        ));
    }
    if m.longer_m.abs() > 2.0 * m.longer_sd_m {
        parts.push(format!(
            "{} {}",
            say.head_sd(m.longer_m.abs(), m.longer_sd_m),
            direction(m.longer_m, "longer", "shorter")
        ));
    }
    if parts.is_empty() {
        format!("up to {}", say.head(m.most_m))
    } else {
        parts.join(", ")
    }
}

/// What moved, in one line.
pub fn moved(m: &Moved, say: Say) -> String {
    let (reach, by) = (say.reach(m.from_m, m.to_m), movement(m, say));
    let told = match m.verdict {
        MovedVerdict::Moved => format!("{reach} moved: {by}"),
        MovedVerdict::CannotTell => {
            format!("{reach} may have moved: {by} (the surveys are not accurate enough)")
        }
    };
    let Some(other) = m.instead else {
        return told;
    };
    format!(
        "{told}. Possibly {} moved instead: probability {}",
        say.reach(other.from_station_m, other.to_station_m),
        say.share(other.probability)
    )
}

/// What it is that no longer stands where it should, and where.
pub fn off_line_name(
    off: &OffLine,
    fittings: &[Fitting],
    stands: &[Appurtenance],
    say: Say,
) -> String {
    let name = |what: &Equipment| match what {
        Equipment::Mark(i) => stands.get(*i).map_or_else(String::new, |s| {
            if s.name.is_empty() {
                kind_label(s.kind).to_owned()
            } else {
                s.name.clone()
            }
        }),
        Equipment::Fitting(i) => fittings
            .get(*i)
            .map_or_else(String::new, |f| f.name.clone()),
    };
    match off {
        OffLine::PipeMoved {
            what, station_m, ..
        }
        | OffLine::NotAtCrest {
            what, station_m, ..
        } => format!("{} at {}", name(what), say.station(*station_m)),
        OffLine::Unvented { crest_m } => format!("high point near {}", say.station(*crest_m)),
    }
}

/// What to do about it.
pub fn off_line_do(off: &OffLine, stands: &[Appurtenance], say: Say) -> String {
    match off {
        OffLine::PipeMoved {
            what: Equipment::Mark(i),
            ..
        } => match stands.get(*i).map(|s| s.kind) {
            Some(MarkKind::Vent | MarkKind::Drain | MarkKind::Relief) => {
                "Inspect its branch pipe: it can be bent or torn. Make it vertical again."
            }
            Some(MarkKind::Support | MarkKind::Guide) => {
                "Check that the pipe still rests on it. Place it below the pipe before filling."
            }
            _ => {
                "Check that it still holds the pipe. Install it again before you pressurize the pipe."
            }
        }
        .to_owned(),
        OffLine::PipeMoved { .. } => {
            "Before filling, inspect it and the joints on both sides for leaks.".to_owned()
        }
        OffLine::NotAtCrest { crest_m, .. } => format!(
            "Move it to the highest point near {}, or install a second one there.",
            say.station(*crest_m)
        ),
        OffLine::Unvented { crest_m } => format!(
            "Install a vent at the highest point near {}.",
            say.station(*crest_m)
        ),
    }
}

/// What no longer stands where it should, in one line.
pub fn off_line(off: &OffLine, fittings: &[Fitting], stands: &[Appurtenance], say: Say) -> String {
    let name = off_line_name(off, fittings, stands, say);
    match off {
        OffLine::PipeMoved { by_m, is_sure, .. } => format!(
            "{name}: the pipe next to it {} by {}",
            moved_word(*is_sure),
            say.head(*by_m)
        ),
        OffLine::NotAtCrest { crest_m, .. } => format!(
            "{name} is no longer at the high point, which is near {}",
            say.station(*crest_m)
        ),
        OffLine::Unvented { .. } => format!("the {name} has no vent"),
    }
}

/// Moved, or may have.
pub fn moved_word(is_sure: bool) -> &'static str {
    if is_sure { "moved" } else { "may have moved" }
}
