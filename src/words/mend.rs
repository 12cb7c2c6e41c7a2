use super::flow::{next_reading, remedy};
use super::force::{block_side, no_block};
use super::name::{elbow_words, kind_word};
use super::{Say, start};
use crate::air::{Gathers, VentFault};
use crate::anchor::{HoldWhy, NoBlock};
use crate::finding::{Cause, Finding, HoldWanted, Kind, Unheld, WithMarks};
use crate::flow::{Remedy, WhyNot};
use crate::pipe::{Law, MarkKind, RunState};
use crate::strength::NoWheel;

/// What to do about a finding, in one or two sentences.
pub fn advice(finding: &Finding, say: Say) -> String {
    let at = say.reach(finding.from_m, finding.to_m);
    match &finding.kind {
        Kind::OverPressure { cause: Cause::StandingInSun, .. } => "Shade or bury the pipe, keep it running in hot sun or drain it, or take a higher class: hot pipe that stands full is weaker.".to_owned(),
        Kind::OverPressure { weakest, .. } => format!("Do not fill above this place before the {weakest} {at} is replaced by one of a higher class, or the pressure is kept from it."),
        Kind::NotPressurePipe { .. } => "Replace it by pressure pipe before any water stands in it.".to_owned(),
        Kind::NoRating { may_be: Some((weak, strong)), .. } => format!("Look along the whole pipe for its marking: a grade such as {} or {}, a standard, a class (PN, SDR, bar or psi), and give it. Until it is found, hold it to the weakest, and count a pipe without any marking as none for pressure.", weak.grade.grade, strong.grade.grade),
        Kind::NoRating { .. } => "Read the marking on the pipe and give its class or its rating.".to_owned(),
        Kind::CollapseWithoutAir { of, cause: Cause::Running(_), .. } if of.is_empty() => format!("Throttle at the bottom, lay the pipe {at} lower, or take a class there that stands the suction."),
        Kind::CollapseWithoutAir { cause: Cause::Surge(_), at_once: true, .. } => format!("It comes at once by itself, as a stone in a jet does, so no slow hand helps. {STONE} Set a vent {at} that lets air in by itself, or take a class there that stands the suction."),
        Kind::CollapseWithoutAir { of, cause: Cause::Surge(_), .. } if of.is_empty() => format!("Move it more slowly, set a vent {at} that lets air in by itself, or take a stronger class there."),
        Kind::CollapseWithoutAir { cause: Cause::Emptied(_), .. } if finding.with_marks == Some(WithMarks::Stays) => format!("The vents that are wanted do not cure it by themselves: where the running line sucks only a cock can stand. Open every vent before anything is shut or drained, or take a class {at} that stands the suction."),
        Kind::CollapseWithoutAir { of, .. } if of.is_empty() => format!("Set a vent {at}, or above it, that lets air in by itself before the line is ever emptied; until then keep the mouth from being blocked, and open something above before anything below."),
        Kind::CollapseWithoutAir { .. } => "Set a vent that lets air in just below the valve, and let nobody shut it with the pipe full before then.".to_owned(),
        Kind::Unrestrained(Unheld { no_block: Some(NoBlock::BearsNothing), .. }) => format!("Hold it before filling. No block is offered: {}.", no_block(NoBlock::BearsNothing)),
        Kind::Unrestrained(Unheld { no_block: Some(NoBlock::TooLarge), .. }) => "Hold it before filling: the thrust is so large that an engineer has to design what holds it.".to_owned(),
        Kind::Unrestrained(Unheld { sense, towards, .. }) => format!("Hold it before filling: a block {} on undisturbed ground, or joints that carry the pull. Presumptive ground values are a first estimate; where a burst could hurt people, an engineer on site.", block_side(*sense, towards)),
        Kind::ForbiddenJoint { .. } => "Replace it by a joint rated for the pipe's class.".to_owned(),
        Kind::CannotBe { why, .. } => match why {
            WhyNot::TooMuch { most_m3_per_s, .. } => format!("Ask for no more than {}, which the pipe passes with its end open, or take a larger bore.", say.flow(*most_m3_per_s)),
            WhyNot::TapsTakeAll => "Take less off the line on the way, or a larger bore above the first draw.".to_owned(),
            WhyNot::ValveShut { .. } => "Open it in that state, or take the state out.".to_owned(),
            WhyNot::NoCoefficient { .. } => "Give it its own k.".to_owned(),
            WhyNot::ScreenBlocked => "Clear the screen; or say less of it blocked in that state.".to_owned(),
            WhyNot::NoJets => "Open a jet in that state, or take the state out.".to_owned(),
            _ => "Look at what was asked of that state.".to_owned(),
        },
        Kind::NoHead { .. } => "Check which end is the intake, and the heights.".to_owned(),
        Kind::ClimbUnvented { by_hand_m: Some(cock_m), cock_only: true, .. } => format!("Open the cock at {} at each filling until water runs without air, and again some hours later; keep it shut while it runs, for a vent that stands open would draw air in. With nobody there, only digging and propping until the pipe falls helps.", say.station(*cock_m)),
        Kind::ClimbUnvented { crest_m, cock_only: true, .. } => format!("Look at {at} first. Set a cock at the highest point you find near {}, opened at each filling and shut while it runs, for a vent that stands open would draw air in there; or dig and prop until the pipe falls.", say.station(*crest_m)),
        Kind::ClimbUnvented { by_hand_m: Some(cock_m), .. } => format!("Open the cock at {} at each filling until water runs without air, and again some hours later; for a plant that must start with nobody there, set a vent that works by itself, or dig and prop until the pipe falls.", say.station(*cock_m)),
        Kind::ClimbUnvented { crest_m, vents_known: false, .. } => format!("Look at {at} first. Unless a vent stands there, set one at the highest point you find near {}, or dig and prop until the pipe falls.", say.station(*crest_m)),
        Kind::ClimbUnvented { crest_m, .. } => format!("Look at {at} first. Set a vent at the highest point you find near {}, or dig and prop until the pipe falls.", say.station(*crest_m)),
        Kind::Locks(start) => start::unlock(start, say),
        Kind::MayStart(start) => start::make_sure(start, say),
        Kind::SurgeOver { at_once: true, .. } => format!("A stone blocks a jet in an instant, so no slow hand helps. {STONE} Choose a class with the margin for it."),
        Kind::ColumnParts { at_once: true, .. } => format!("A stone blocks a jet in an instant, so no slow hand helps, and a stronger class does not either: a stiffer wall carries the wave faster. {STONE}"),
        Kind::ColumnParts { on_the_way: true, safe_s, law, .. } if finding.with_marks != Some(WithMarks::Stays) => {
            let slowly = safe_s.map_or_else(|| "No time was found that keeps it whole.".to_owned(), |s| format!("Take at least {} over it, {}.", say.counted(s), evenly(*law)));
            format!("{slowly} Or set a vent just below it that lets air in by itself, wide enough for the water that runs on. Shut the jets before it as a rule; it is said here as long as a hand can shut it while the water runs.")
        }
        Kind::SurgeOver { safe_s: Some(s), law, .. } | Kind::ColumnParts { safe_s: Some(s), law, .. } => format!("Take at least {} over it, {}; gear down or chain a quarter-turn lever so that it cannot be thrown.", say.counted(*s), evenly(*law)),
        Kind::SurgeOver { .. } => "No time was found that keeps it within limits: change the valve, the pipe's class, or keep the movement from happening.".to_owned(),
        Kind::ColumnParts { .. } => "No time was found that keeps it whole: change the valve, or keep the movement from happening. Slower water helps, by a larger pipe or smaller jets; a stronger class does not: the stiffer its wall, the deeper the dip.".to_owned(),
        Kind::JointInSuction { cause: Cause::Emptied(_), .. } => format!("Set a vent {at}, or above it, that lets air in by itself as the line empties, or use joints there that hold suction."),
        Kind::JointInSuction { cause: Cause::Surge(_), at_once: true, .. } => format!("It comes at once by itself, as a stone in a jet does, so no slow hand helps. {STONE} Use joints there that hold suction."),
        Kind::JointInSuction { cause: Cause::Surge(_), .. } => "Move it more slowly, or use joints there that hold suction.".to_owned(),
        Kind::JointInSuction { cause: Cause::Running(_), .. } => "Use joints that hold suction there, throttle at the bottom, or lower the pipe.".to_owned(),
        Kind::JointInSuction { .. } => "Use joints that hold suction there, or lower the pipe.".to_owned(),
        Kind::NotFull { case, limited, also, .. } => remedies(case, limited, also, say),
        Kind::SiphonFails { vented: true, .. } => "Take that vent out, or set a cock in its place that is shut while it runs.".to_owned(),
        Kind::SiphonFails { .. } => "Lower its crest, raise the least level, or throttle at the bottom.".to_owned(),
        Kind::SiphonByHand { .. } => "Set a cock and a filling funnel on its crest, keep its joints tight to suction, and write down how it is primed.".to_owned(),
        Kind::AirTakes { .. } => "Vent the climbs; until then bleed them by hand after each start, and do not judge the plant by its power before.".to_owned(),
        Kind::SiltSettles { .. } => "Flush it now and then at that speed, by the order of work; settle the silt before the mouth.".to_owned(),
        Kind::FirstMetresFlat { .. } => "Give the first metres more fall, or keep a screen and an open vent where they end.".to_owned(),
        Kind::StartNotSettled(start) => start::settle(start, say),
        Kind::PressureNotSettled { .. } => "Measure the drop better: level it, or read a good gauge at the shut turbine valve with the line full and bled.".to_owned(),
        Kind::CollapseNotSettled { .. } => format!("Level from the mouth to {}, or set a vent near it that lets air in by itself.", say.station(finding.to_m)),
        Kind::JointNotSettled { .. } => format!("Level from the mouth to {}, or use joints there that hold suction.", say.station(finding.to_m)),
        Kind::FullNotSettled { .. } => format!("Level from the mouth to {}, or read a gauge there while it runs.", say.station(finding.to_m)),
        Kind::PartingNotSettled { safe_s: Some(s), .. } => format!("Level from the mouth to {}; until then take more than the {} that are safe by the mean heights.", say.station(finding.to_m), say.counted(*s)),
        Kind::PartingNotSettled { .. } => format!("Level from the mouth to {}; until then move it as slowly as you can.", say.station(finding.to_m)),
        Kind::VentFails { fault, .. } => vent(fault, say),
        Kind::ClimbDoubtful { setups, walks, .. } => format!(
            "Level {at}: about {} of the level{}. Look at the pipe there before deciding against a vent.",
            counted(*setups, "set-up"),
            if *walks { ", or one or two more walks" } else { "" }
        ),
        Kind::ClimbVented { .. } => "See that the vent is free and open whenever the line is filled.".to_owned(),
        Kind::Flat { .. } => "Give it fall where you can, at least 1 in 100; flush it now and then.".to_owned(),
        Kind::AirGathers { why: Gathers::BelowShutOff } if finding.from_m <= 0.0 => "Keep a vent just below the mouth that lets air in.".to_owned(),
        Kind::AirGathers { why: Gathers::BelowShutOff } => "Keep a vent just below the valve that lets air in.".to_owned(),
        Kind::AirGathers { .. } => "Fill slowly; if power drops after a while, bleed here first.".to_owned(),
        Kind::LowUndrained { .. } => "Set a drain at the low, where water may run off without harm.".to_owned(),
        Kind::Fast { .. } => "A larger pipe or fewer jets; fast water also makes the surge stronger.".to_owned(),
        Kind::StreamShort { feeds: Some(feeds), .. } => format!("Run no more than {feeds} in that season; what must stay in the stream comes first."),
        Kind::StreamShort { feeds: None, .. } => "Shut down in that season, or set a smaller jet; what must stay in the stream comes first.".to_owned(),
        Kind::LossHigh { .. } => "Compare a larger pipe or smaller jets: `steadyfall size`.".to_owned(),
        Kind::GaugeOff { next: Some(next), .. } => format!("Read next: {}.", next_reading(next, say)),
        Kind::GaugeOff { .. } => "Read it again together with the others, the height of the dial noted.".to_owned(),
        Kind::Submergence { .. } => "Lower the mouth, raise the least level, or lay a board over the mouth that breaks the whirl.".to_owned(),
        Kind::HoldWanted(HoldWanted { kind: MarkKind::ExpansionJoint, .. }) => "Set them as listed, each just below the hold above it, with the blocks and anchors of the list: a joint passes no pull, so the pressure on every bend and end goes into the holds beside it. Set them for the temperature of the day; an engineer looks at it where a burst could hurt.".to_owned(),
        Kind::HoldWanted(HoldWanted { slack_m: Some(_), .. }) => "Lay the pipe there in an open bow that can straighten, free to slide, and no sharper than it may be bent; hold it only where an anchor is named.".to_owned(),
        Kind::HoldWanted(HoldWanted { why: HoldWhy::PullOut, .. }) => "Set the anchors as listed, tight to the pipe and along it; leave the loops of slack where they are named. Where a burst could hurt, have an engineer look at the site.".to_owned(),
        Kind::HoldWanted(HoldWanted { why: HoldWhy::Heat, kind, .. }) => format!("Set the {}s, or leave slack for the pipe to snake where it harms nothing.", kind_word(*kind)),
        Kind::HoldWanted(HoldWanted { why: HoldWhy::Flood, kind, .. }) => format!("Set the {}s on rock or driven anchors, not on saplings; better, lead the pipe out of the flood.", kind_word(*kind)),
        Kind::HoldWanted(HoldWanted { kind, .. }) => format!("Set the {}s as listed. Presumptive ground values are a first estimate: where a burst could hurt, have an engineer look at the site.", kind_word(*kind)),
        Kind::BendTooSharp { elbow_rad, restrained: true, .. } => format!("Set {} there with joints that carry the pull along the pipe, or ease the bend.", elbow_words(*elbow_rad)),
        Kind::BendTooSharp { elbow_rad, .. } => format!("Set {} there, held against the thrust, or ease the bend.", elbow_words(*elbow_rad)),
        Kind::BendNotSettled { .. } => "Sight both legs with a compass and a clinometer, or lay a template, before buying an elbow.".to_owned(),
        Kind::FittingInBend { .. } => "Move it to where the pipe runs straight, or hold the pipe straight on both sides of it.".to_owned(),
        Kind::JointsForced { .. } => "Take longer pieces there, or fuse these joints and look at them first after each storm.".to_owned(),
        Kind::Suction { .. } => "Keep joints out of this reach or use ones that hold suction.".to_owned(),
        Kind::ZonesWouldDo { .. } => "For a line not bought yet: compare the price, the joints where classes meet, and what is in stock; mark each class on the pipe before it goes up the hill.".to_owned(),
        Kind::LighterWouldDo { .. } => "For a line not bought yet: compare the price.".to_owned(),
        Kind::CheckMarking { .. } => "Check the marking on the pipe: standard, size, class.".to_owned(),
        Kind::NotRecorded { setups } => format!("Walk it again, or level it (about {}): until then do not count on it falling there.", counted(*setups, "set-up")),
        Kind::TerrainModel => "Walk with a receiver that records its own heights, or level the reaches that matter.".to_owned(),
        Kind::Misclosure { .. } => "Look at the rows named in the remarks; level the worst stretch again.".to_owned(),
        Kind::SurgeNotValid => "Vent or cure the climbs first; until then move valves far more slowly than printed.".to_owned(),
        Kind::UsedPipe { .. } => "Measure the wall where it is thinnest, test it with water, and state with derate what share of its rating is left.".to_owned(),
        Kind::TooWarm { .. } => "Bury or shade it, or keep water running through it on hot days.".to_owned(),
        Kind::Wheel { outcome: Ok(_) } => "Lay it deeper, in a sleeve, or keep wheels off.".to_owned(),
        Kind::Wheel { outcome: Err(NoWheel::CoverUnknown | NoWheel::SoilUnknown) } => "State the cover and the soil; until then keep wheels off.".to_owned(),
        Kind::Wheel { outcome: Err(_) } => "Lay it deeper in firm ground or in a sleeve, or keep wheels off.".to_owned(),
        Kind::NeedsAir { wanted: 0, .. } => "See that these vents are free before the head valve is shut or a drain is opened.".to_owned(),
        Kind::NeedsAir { .. } => "Set the wanted vents before the line is ever emptied, and see that they are free before the head valve is shut or a drain is opened.".to_owned(),
    }
}

fn vent(fault: &VentFault, say: Say) -> String {
    match fault {
        VentFault::Stuck => "Free it or replace it before the next filling.",
        VentFault::CockShut => "Open the cock beneath it and mark it so that it stays open.",
        VentFault::ToCome => "Set it before the line is filled.",
        VentFault::OnlyIn => "Set an air valve beside it, or a combination valve or a standpipe in its place.",
        VentFault::OnlyOut => "Set a vacuum valve beside it, or a combination valve or a standpipe in its place.",
        VentFault::ByHand => "Set a vent that works by itself, or let nobody restart the line without opening it.",
        VentFault::Spills { raise_m, .. } => {
            return format!("Raise it by {}, or set a valve in its place.", say.head(*raise_m));
        }
        VentFault::TopUnknown | VentFault::BoreUnknown => "Measure it and write it in the site file.",
        VentFault::BoreUnder(_) => "Set a wider one.",
        VentFault::Inhales(_) => "Throttle at the bottom so that the grade line stays above it, or set a cock in its place that is opened while the line fills or empties and shut while it runs, knowing that by itself nothing then guards the pipe there.",
        VentFault::BelowCrest(_) => "Move it up to the crest.",
    }
    .to_owned()
}

fn counted(n: usize, what: &str) -> String {
    if n == 1 {
        format!("1 {what}")
    } else {
        format!("{n} {what}s")
    }
}

/// What keeps stones from a jet.
const STONE: &str =
    "Keep stones and sticks out with a fine screen and a settling box, and look after both.";

/// Every remedy with its number, the least effort first. How far to throttle is told state by state: each has its own jets.
fn remedies(
    case: &RunState,
    limited: &crate::flow::Limited,
    also: &[(RunState, Option<f64>)],
    say: Say,
) -> String {
    let mut all: Vec<String> = limited
        .remedies
        .iter()
        .map(|r| match r {
            Remedy::Throttle { .. } if !also.is_empty() => {
                let others: Vec<String> = also
                    .iter()
                    .filter_map(|(case, share)| {
                        share.map(|s| format!("{case}: to {}", say.share(s)))
                    })
                    .collect();
                format!("{case}: {} {}.", remedy(r, limited, say), others.join("; "))
            }
            _ => remedy(r, limited, say),
        })
        .collect();
    match all.len() {
        0 => "Lower the pipe there, or lay a larger pipe above it.".to_owned(),
        1 => all.remove(0),
        _ => format!("One of these. {}", all.join(" Or: ")),
    }
}

/// How a movement is made that keeps its law.
fn evenly(law: Law) -> &'static str {
    match law {
        Law::Stroke => "turned evenly",
        Law::Area => "its open area changing evenly",
    }
}
