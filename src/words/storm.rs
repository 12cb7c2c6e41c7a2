use super::name::kind_word;
use super::{Say, plan_word};
use crate::compare::{
    By, ClimbAir, Climbing, Compared, DetectionLimit, Equipment, ImmediateAction, Moved,
    MovedVerdict, OffLine,
};
use crate::line::Line;
use crate::pipe::MarkKind;
use crate::regrade::RegradePlan;

/// What to do tonight, in one line each, the most pressing first.
pub fn tonight(compared: &Compared, line: &Line, say: Say) -> Vec<String> {
    compared
        .tonight
        .iter()
        .map(|t| one(t, compared, line, say))
        .collect()
}

fn one(tonight: &ImmediateAction, compared: &Compared, line: &Line, say: Say) -> String {
    match tonight {
        ImmediateAction::ShutDown { station_m } => {
            format!(
                "Do not run. Shut the intake slowly, leave the air inlet below it open: the pipe may burst, collapse or part near {}.",
                say.station(*station_m)
            )
        }
        ImmediateAction::Forbidden { count, new, first_m } => {
            let (what, them) = if *count == 1 {
                ("one finding below forbids", "it")
            } else {
                ("findings below forbid", "them")
            };
            let count = if *count == 1 { String::new() } else { format!("{count} ") };
            let since = match new {
                0 => " The storm did not make it so: it stood before.",
                _ => "",
            };
            format!(
                "Do not fill or run it, and shut the intake slowly if it runs: {count}{what} it, at {} first. Put {them} right before anything else.{since}",
                say.station(*first_m)
            )
        }
        ImmediateAction::Walk { sight, unseen_m } => walk(*sight, unseen_m, say),
        ImmediateAction::LookAtJoints {
            from_m,
            to_m,
            longer_m,
        } => {
            format!(
                "Look at every joint {} before there is pressure on it: the pipe is {} longer there.",
                say.reach(*from_m, *to_m),
                say.head(*longer_m)
            )
        }
        ImmediateAction::KeepClear { reaches_m } => format!(
            "Do not stand on or below {}: the ground moved and may move again.",
            say.reaches(reaches_m)
        ),
        ImmediateAction::RunLow { jets, vented, held } => {
            let how = if *jets { "at one jet" } else { "at its least flow" };
            let when = match (vented, held) {
                (true, true) => "Once the air is let out and what held the pipe holds again, it",
                (true, false) => "Once the air is let out, it",
                (false, true) => "Once what held the pipe where it moved holds again, it",
                (false, false) => "It",
            };
            let and = if compared.moved.is_empty() {
                "the line"
            } else {
                "the moved reaches"
            };
            format!("{when} may run {how}, with somebody watching the gauge and {and}.")
        }
        ImmediateAction::RunAsBefore {
            looked,
            changed,
            left,
        } => {
            let run = match (changed, looked) {
                (true, true) => "If that walk shows nothing new, it may run as before.",
                (true, false) => "It may run as before.",
                (false, true) => {
                    "If that walk shows nothing new, nothing changed, and it may run as before."
                }
                (false, false) => "Nothing changed that these surveys show: it may run as before.",
            };
            let left = match left {
                0 => String::new(),
                1 => " What was to put right before it still is: 1 thing, below.".to_owned(),
                n => format!(" What was to put right before it still is: {n} things, below."),
            };
            format!("{run}{left}")
        }
        ImmediateAction::ShutToWork => {
            "Before anybody digs, props or opens a joint: shut the intake slowly, leave the air inlet below it open, and let the pressure off at the lower end."
                .to_owned()
        }
        ImmediateAction::LetAirOut { stations_m, air } => {
            let at = say.stations(stations_m);
            match air {
                ClimbAir::Locks => {
                    format!("Before filling, open or fit a vent near {at}: air would lock the line.")
                }
                ClimbAir::MayLock => {
                    format!("Before filling, open or fit a vent near {at}: air may lock the line.")
                }
                ClimbAir::HoldsBack(share) => format!(
                    "Open or fit a vent near {at}: air that stays there leaves {} of the power.",
                    say.share(*share)
                ),
            }
        }
        ImmediateAction::OpenCocks { stations_m } => format!(
            "While it fills, slowly, keep the hand cocks open at {} until water comes.",
            say.stations(stations_m)
        ),
        ImmediateAction::RunLess { station_m } => format!(
            "Keep the flow down: near {} the pipe stands in suction when it runs.",
            say.station(*station_m)
        ),
        ImmediateAction::CheckHolds { stands, is_sure } => {
            let named: Vec<String> = stands
                .iter()
                .take(4)
                .map(|(stand, station_m)| {
                    let what = line
                        .stands
                        .get(*stand)
                        .map_or("hold", |s| kind_word(s.kind));
                    format!("the {what} at {}", say.station(*station_m))
                })
                .collect();
            let more = match stands.len().saturating_sub(named.len()) {
                0 => String::new(),
                n => format!(" and {n} more"),
            };
            format!(
                "Look at {}{more}: the pipe {} there, and what held it may not.",
                named.join(", "),
                if *is_sure { "moved" } else { "may have moved" }
            )
        }
        ImmediateAction::EaseBend { station_m } => format!(
            "Ease the bend near {}: it is sharper than the pipe may take.",
            say.station(*station_m)
        ),
        ImmediateAction::Level { reaches_m } => format!(
            "Before digging, level {} with level and staff, and compare again: the survey cannot tell.",
            say.reaches(reaches_m)
        ),
        ImmediateAction::Regrade { plan } => compared
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
            "{} {were} not surveyed again",
            say.reaches(unseen_m)
        ));
    }
    why.extend(sight.map(|s| unseen(s, say)));
    format!(
        "Walk along the pipe and look for fresh cracks, bare or bent pipe and wet ground: {}.",
        why.join("; ")
    )
}

/// What stays unseen between the surveys.
pub fn unseen(sight: DetectionLimit, say: Say) -> String {
    let aside = match sight.side_m {
        Some(side_m) => format!(" or {} aside", say.about(side_m)),
        None => " down, or aside at all,".to_owned(),
    };
    let up = if sight.side_m.is_some() {
        " up or down"
    } else {
        " up or"
    };
    format!(
        "{} of pipe that moved by less than {}{up}{aside} may not show in these surveys",
        say.paced(sight.over_m),
        say.about(sight.up_m)
    )
}

/// The least work, in one line.
fn regrade(plan: &RegradePlan, say: Say) -> String {
    let mut work = Vec::new();
    if plan.deepest_m > 0.0 {
        work.push(format!("dig by up to {}", say.head(plan.deepest_m)));
    }
    if plan.highest_m > 0.0 {
        work.push(format!("prop by up to {}", say.head(plan.highest_m)));
    }
    let then = if !plan.remaining.is_empty() {
        "it then still climbs where it may not be touched".to_owned()
    } else if !plan.is_sure() {
        format!(
            "by this survey it then falls, but that is only {} sure, so level it first",
            say.share(plan.sure.unwrap_or(0.0))
        )
    } else if plan.sure_with_extra > plan.sure {
        "with the extra beside each stake it is then nine in ten sure to fall all the way"
            .to_owned()
    } else {
        "it then falls all the way".to_owned()
    };
    format!(
        "When it is safe, set out the {} stakes of stakes.csv ({}) and {}: {then}.",
        plan.stakes.len(),
        plan_word(plan.kind),
        work.join(" and ")
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
            direction(along, "down the line", "up the line")
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
    let by = movement(m, say);
    match m.verdict {
        MovedVerdict::Moved => format!("{} moved: {by}", say.reach(m.from_m, m.to_m)),
        MovedVerdict::CannotTell => format!(
            "{} may have moved: {by}; the surveys cannot tell",
            say.reach(m.from_m, m.to_m)
        ),
    }
}

/// The word of what became of a climb.
pub fn climbing_word(what: Climbing) -> &'static str {
    match what {
        Climbing::New => "new",
        Climbing::Worse => "worse",
        Climbing::Same => "as before",
        Climbing::Better => "better",
        Climbing::Cured => "gone",
    }
}

/// What it is that no longer stands where it should, and where.
pub fn off_line_name(off: &OffLine, line: &Line, say: Say) -> String {
    let name = |what: &Equipment| match what {
        Equipment::Mark(i) => line.stands.get(*i).map_or_else(String::new, |s| {
            if s.name.is_empty() {
                kind_word(s.kind).to_owned()
            } else {
                s.name.clone()
            }
        }),
        Equipment::Fitting(i) => line
            .fittings
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
        OffLine::Unvented { crest_m } => format!("crest near {}", say.station(*crest_m)),
    }
}

/// What to do about it.
pub fn off_line_do(off: &OffLine, line: &Line, say: Say) -> String {
    match off {
        OffLine::PipeMoved {
            what: Equipment::Mark(i),
            ..
        } => match line.stands.get(*i).map(|s| s.kind) {
            Some(MarkKind::Vent | MarkKind::Drain | MarkKind::Relief) => {
                "Look at its branch: it may be bent or torn. Set it upright again."
            }
            Some(MarkKind::Support | MarkKind::Guide) => {
                "Look whether the pipe still lies on it; set it under the pipe before it is filled."
            }
            _ => {
                "Look whether it still holds the pipe; set it anew before there is pressure on it."
            }
        }
        .to_owned(),
        OffLine::PipeMoved { .. } => {
            "Look at it and at the joints on both sides for leaks before filling.".to_owned()
        }
        OffLine::NotAtCrest { crest_m, .. } => format!(
            "Move it to the highest point near {}, or set a second one there.",
            say.station(*crest_m)
        ),
        OffLine::Unvented { crest_m } => format!(
            "Set a vent at the highest point near {}.",
            say.station(*crest_m)
        ),
    }
}

/// What no longer stands where it should, in one line.
pub fn off_line(off: &OffLine, line: &Line, say: Say) -> String {
    let name = off_line_name(off, line, say);
    match off {
        OffLine::PipeMoved { by_m, is_sure, .. } => format!(
            "{name}: the pipe beside it {} by {}",
            moved_word(*is_sure),
            say.head(*by_m)
        ),
        OffLine::NotAtCrest { crest_m, .. } => format!(
            "{name} no longer stands at the crest, which is near {}",
            say.station(*crest_m)
        ),
        OffLine::Unvented { .. } => format!("nothing vents the {name}"),
    }
}

/// Moved, or may have.
pub fn moved_word(is_sure: bool) -> &'static str {
    if is_sure { "moved" } else { "may have moved" }
}

/// How the two surveys were brought together.
pub fn by_word(by: By) -> &'static str {
    match by {
        By::Plan => "by their positions in plan",
        By::Names => "by places of the same name",
        By::Stations => "by the stations of both books",
        By::Shape => "by the shape of the heights",
        By::Ends => "by their beginnings",
        By::Said => "as said",
    }
}
