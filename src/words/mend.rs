use super::Say;
use super::figure::number_of;
use super::flow::{next_reading, remedy};
use super::force::{block_side, no_block};
use super::label::{kind_label, local};
use super::name::elbow_words;
use super::{buried, climb, gauging, rust, slip, solid, start, trial};
use crate::air::{PocketCause, VentFault};
use crate::anchor::{HoldWhy, NoBlock};
use crate::finding::{
    AirGathers, AlsoHeld, BendTooSharp, CannotBe, ClimbDoubtful, ClimbUnvented, CollapseWithoutAir,
    ColumnParts, Finding, GaugeOff, HoldWanted, JointInSuction, Kind, NeedsAir, NoRating, NotFull,
    NotRecorded, OverPressure, PartingNotSettled, PressureCause, SiphonFails, StreamShort,
    SurgeOver, TrafficLoad, Unrestrained, VentFails, WithMarks,
};
use crate::flow::{Remedy, WhyNot};
use crate::pipe::{COVER_THAT_COUNTS_M, Law, MarkKind, RunState};
use crate::strength::NoWheel;
use crate::surge::RUNAWAY;
use crate::unit::Quantity;

/// What to do about a finding, in one or two sentences.
pub fn advice(finding: &Finding, say: Say) -> String {
    local(mend(finding, say), say)
}

fn mend(finding: &Finding, say: Say) -> String {
    let at = say.between(finding.from_m, finding.to_m);
    match &finding.kind {
        Kind::Slip(of) => slip::mend(of),
        Kind::Buried(of) => buried::mend(of, say),
        Kind::Gauging(of) => gauging::mend(of),
        Kind::SurgeOver(SurgeOver { movement, .. }) | Kind::ColumnParts(ColumnParts { movement, .. }) | Kind::CollapseWithoutAir(CollapseWithoutAir { cause: PressureCause::Surge(movement), .. }) | Kind::JointInSuction(JointInSuction { cause: PressureCause::Surge(movement), .. })
            if RUNAWAY.contains(&movement.as_str()) => "The machine does this by itself when its load is lost. Nobody can slow it by hand. Install a flywheel, or a ballast load that takes over immediately. Or select a class that has the margin. Use the flow at runaway from the chart of the machine. Stay away from a machine that runs away.".to_owned(),
        Kind::Solid(of) => solid::mend(of, say),
        Kind::TestOutcome(of) => trial::mend(of),
        Kind::Rust(of) => rust::mend(of, say),
        Kind::OverPressure(OverPressure { cause: PressureCause::StandingInSun, weakest, .. }) if weakest == "pipe" => "Shade or bury the pipe, or select a higher class. In hot sun, keep the water flowing or drain the pipe. Hot pipe that is full and closed is weaker.".to_owned(),
        Kind::OverPressure(OverPressure { weakest, .. }) if weakest == "pipe" => format!("Do not fill above this place before you replace the pipe {at}, its joints included, with one of a higher class. Or keep the pressure away from it."),
        Kind::OverPressure(OverPressure { weakest, .. }) => format!("Do not fill above this place before you replace the {weakest} {at} with one of a higher class. Or keep the pressure away from it. Then run the check again: the pipe itself can also be too weak."),
        Kind::NotPressurePipe { .. } => "Replace it with pressure pipe before you let water in.".to_owned(),
        Kind::NoRating(NoRating { may_be: Some((weak, strong)), .. }) => format!("Inspect the whole pipe for its marking: a grade such as {} or {}, a standard, a class (PN, SDR, bar or psi). Write it in the site file. Until then, use the weakest grade. Do not use pipe without a marking for pressure.", weak.grade.grade, strong.grade.grade),
        Kind::NoRating { .. } => "Read the marking on the pipe. Write its class or its rating in the site file.".to_owned(),
        Kind::CollapseWithoutAir(CollapseWithoutAir { valve: None, cause: PressureCause::Running(_), .. }) => format!("Throttle at the turbine valve, or lay the pipe {at} lower. Or select a class that resists this vacuum."),
        Kind::CollapseWithoutAir(CollapseWithoutAir { cause: PressureCause::Surge(_), at_once: true, .. }) => format!("A stone can block a nozzle immediately. Slow operation does not prevent this. {STONE} Select a class {at} that resists this vacuum. A vent breaks the vacuum only at its own place."),
        Kind::CollapseWithoutAir(CollapseWithoutAir { valve: None, cause: PressureCause::Surge(movement), .. }) => format!("Take more time for \"{movement}\", or select a stronger class {at}."),
        Kind::CollapseWithoutAir(CollapseWithoutAir { cause: PressureCause::Emptied(_), .. }) if finding.with_marks == Some(WithMarks::Stays) => format!("The required vents alone are not sufficient: at negative operating pressure, only an air cock is possible. Open every vent before you close a valve or drain the pipeline. Or select a class {at} that resists this vacuum."),
        Kind::CollapseWithoutAir(CollapseWithoutAir { valve: None, .. }) => format!("Before you empty the pipeline for the first time, install a vent {at}, or above it, that lets air in automatically. Until then, keep the pipe inlet clear. Open an upper vent before you open a lower outlet."),
        Kind::CollapseWithoutAir { .. } => "Install a vent that lets air in directly below the valve. Until then, nobody must close the valve while the pipe is full.".to_owned(),
        Kind::Unrestrained(Unrestrained { no_block: Some(NoBlock::BearsNothing), .. }) => format!("Restrain it before you fill the pipe. No thrust block is proposed: {}.", no_block(NoBlock::BearsNothing)),
        Kind::Unrestrained(Unrestrained { no_block: Some(NoBlock::TooLarge), .. }) => "Restrain it before you fill the pipe. The thrust is so large that an engineer must design the restraint.".to_owned(),
        Kind::Unrestrained(Unrestrained { sense, towards, .. }) => format!("Restrain it before you fill the pipe. Install a thrust block {} on undisturbed ground, or use restrained joints. The soil values are first estimates. Where a burst could hurt a person, an engineer must inspect the site.", block_side(*sense, towards)),
        Kind::ForbiddenJoint { .. } => "Replace it with a joint that is rated for the class of the pipe.".to_owned(),
        Kind::CannotBe(CannotBe { why, .. }) => match why {
            WhyNot::TooMuch { most_m3_per_s, .. } => format!("Use a flow of {} or less: this is the flow with the pipe end open. Or use a larger inside diameter.", say.flow(*most_m3_per_s)),
            WhyNot::TapsTakeAll => "Take less water from the branches. Or use a larger inside diameter above the first branch.".to_owned(),
            WhyNot::ValveShut { .. } => "Open it in that operating condition, or remove the condition.".to_owned(),
            WhyNot::NoCoefficient { .. } => "Give it its own loss coefficient k.".to_owned(),
            WhyNot::ScreenBlocked => "Clear the screen. Or enter a smaller blocked share for that condition.".to_owned(),
            WhyNot::NoJets => "Open a nozzle in that operating condition, or remove the condition.".to_owned(),
            _ => "Check the entries of that operating condition.".to_owned(),
        },
        Kind::NoHead { .. } => "Check which end is the intake, and check the heights.".to_owned(),
        Kind::ClimbUnvented(ClimbUnvented { step: Some(step), .. }) => climb::ramp(step, say),
        Kind::ClimbUnvented(ClimbUnvented { by_hand_m: Some(cock_m), cock_only: true, .. }) => format!("Open the air cock at {} at each filling until water flows without air, and again some hours later. Keep it closed in operation, because an open vent would draw air in. If the plant must start with nobody there, regrade the pipe until it falls all the way.", say.station(*cock_m)),
        Kind::ClimbUnvented(ClimbUnvented { crest_m, cock_only: true, .. }) => format!("Inspect the pipe {at} first. Install an air cock at the highest point near {}. Open it at each filling and close it in operation, because an open vent would draw air in. Or lower (dig) and raise (prop) the pipe until it falls all the way.", say.station(*crest_m)),
        Kind::ClimbUnvented(ClimbUnvented { by_hand_m: Some(cock_m), .. }) => format!("Open the air cock at {} at each filling until water flows without air, and again some hours later. If the plant must start with nobody there, install an automatic vent. Or lower (dig) and raise (prop) the pipe until it falls all the way.", say.station(*cock_m)),
        Kind::ClimbUnvented(ClimbUnvented { idle_m: Some(vent_m), .. }) => format!("Repair the air vent at {}, or open its isolating valve. Or lower (dig) and raise (prop) the pipe until it falls all the way.", say.station(*vent_m)),
        Kind::ClimbUnvented(ClimbUnvented { crest_m, vents_known: false, .. }) => format!("Inspect the pipe {at} first. If there is no vent, install one at the highest point near {}. Or lower (dig) and raise (prop) the pipe until it falls all the way.", say.station(*crest_m)),
        Kind::ClimbUnvented(ClimbUnvented { crest_m, .. }) => format!("Inspect the pipe {at} first. Install an air vent at the highest point near {}. Or lower (dig) and raise (prop) the pipe until it falls all the way.", say.station(*crest_m)),
        Kind::Starting(start) => start::mend(start, say),
        Kind::SurgeOver(SurgeOver { at_once: true, .. }) => format!("A stone can block a nozzle immediately. Slow operation does not prevent this. {STONE} Select a pipe class that has the margin for this surge."),
        Kind::ColumnParts(ColumnParts { at_once: true, .. }) => format!("A stone can block a nozzle immediately. Slow operation does not prevent this. A stronger class does not help: in a stiffer wall the pressure wave is faster. {STONE}"),
        Kind::ColumnParts(ColumnParts { movement, on_the_way: true, safe_s, law, .. }) if finding.with_marks != Some(WithMarks::Stays) => {
            let slowly = safe_s.map_or_else(|| "No closing time prevents column separation.".to_owned(), |s| format!("Take not less than {} for \"{movement}\", {}.", say.counted(s), evenly(*law)));
            format!("{slowly} Or install a vent directly below that valve that lets air in automatically. The vent must be wide enough for the water that flows on. As a rule, close the nozzles first. This advice is for a valve that a person can close while the water flows.")
        }
        Kind::SurgeOver(SurgeOver { movement, safe_s: Some(s), law, .. }) | Kind::ColumnParts(ColumnParts { movement, safe_s: Some(s), law, .. }) => format!("Take not less than {} for \"{movement}\", {}. Install a gear operator on a quarter-turn lever, or secure the lever with a chain. Nobody must be able to move it suddenly.", say.counted(*s), evenly(*law)),
        Kind::SurgeOver { .. } => "No closing time keeps the pressure within the limits. Change the valve or the pipe class, or prevent this operation.".to_owned(),
        Kind::ColumnParts { .. } => "No closing time prevents column separation. Change the valve, or prevent this operation. A lower velocity helps: use a larger pipe or smaller nozzles. A stronger class does not help: a stiffer wall makes the pressure drop larger.".to_owned(),
        Kind::JointInSuction(JointInSuction { cause: PressureCause::Emptied(_), .. }) => format!("Install a vent {at}, or above it, that lets air in automatically when the pipeline empties. Or use joints that are tight against negative pressure."),
        Kind::JointInSuction(JointInSuction { cause: PressureCause::Surge(_), at_once: true, .. }) => format!("A stone can block a nozzle immediately. Slow operation does not prevent this. {STONE} Use joints that are tight against negative pressure."),
        Kind::JointInSuction(JointInSuction { cause: PressureCause::Surge(movement), .. }) => format!("Take more time for \"{movement}\". Or use joints that are tight against negative pressure."),
        Kind::JointInSuction(JointInSuction { cause: PressureCause::Running(_), .. }) => "Use joints that are tight against negative pressure, throttle at the turbine valve, or lower the pipe.".to_owned(),
        Kind::JointInSuction { .. } => "Use joints that are tight against negative pressure, or lower the pipe.".to_owned(),
        Kind::NotFull(NotFull { case, limited, also, .. }) => remedies(case, limited, also, say),
        Kind::SiphonFails(SiphonFails { vented: true, .. }) => "Remove that vent. Or replace it with an air cock that is closed in operation.".to_owned(),
        Kind::SiphonFails { .. } => "Lower its high point, raise the low water level, or throttle at the turbine valve.".to_owned(),
        Kind::SiphonByHand { .. } => "Install an air cock and a filling funnel at its high point. Make its joints tight against negative pressure. Write down the priming procedure.".to_owned(),
        Kind::AirTakes { .. } => "Vent the rising sections. Until then, release the air by hand after each start. Do not assess the power of the plant before you release the air.".to_owned(),
        Kind::SiltSettles { .. } => "Flush the pipe at that velocity from time to time, as the procedure shows. Let the silt settle before the pipe inlet.".to_owned(),
        Kind::FirstMetresFlat { .. } => "Give the first section more fall. Or install a screen, and an open vent at its lower end.".to_owned(),
        Kind::PressureNotSettled { .. } => "Measure the elevation difference more accurately: survey it with a level. Or read a good gauge at the closed turbine valve, with the pipeline full and the air released.".to_owned(),
        Kind::CollapseNotSettled { .. } => format!("Survey with a level from the pipe inlet to {}. Or install a vent near there that lets air in automatically.", say.station(finding.to_m)),
        Kind::JointNotSettled { .. } => format!("Survey with a level from the pipe inlet to {}. Or use joints that are tight against negative pressure.", say.station(finding.to_m)),
        Kind::FullNotSettled { .. } => format!("Survey with a level from the pipe inlet to {}. Or read a gauge there in operation.", say.station(finding.to_m)),
        Kind::PartingNotSettled(PartingNotSettled { movement, safe_s: Some(s) }) => format!("Survey with a level from the pipe inlet to {}. Until then, take more than {} for \"{movement}\". That is the safe time at the mean heights.", say.station(finding.to_m), say.counted(*s)),
        Kind::PartingNotSettled(PartingNotSettled { movement, .. }) => format!("Survey with a level from the pipe inlet to {}. Until then, do \"{movement}\" as slowly as you can.", say.station(finding.to_m)),
        Kind::VentFails(VentFails { fault, .. }) => vent(fault, say),
        Kind::ClimbDoubtful(ClimbDoubtful { setups, settling, .. }) => {
            let (walks, barometer) = (settling.and_then(|s| s.walks), settling.map(|s| s.barometer));
            let ways: Vec<String> = [("", walks), (" with a barometer and a second one at the powerhouse", barometer)]
                .iter()
                .filter_map(|(with, way)| way.map(|c| format!(" Or do {}{with}: the probability of a clear result is {}.", number_of(c.walks, "more walk"), say.share(c.chance))))
                .collect();
            format!(
                "Survey the pipe {at} with a level: about {}.{} Inspect the pipe there before you decide not to install a vent.",
                number_of(*setups, "set-up"),
                ways.concat()
            )
        }
        Kind::ClimbVented { .. } => "Make sure that the vent is clear and open each time you fill the pipeline.".to_owned(),
        Kind::HardlyFalls { .. } => "Give the pipe more fall where you can, at least 1 in 100. Flush it from time to time.".to_owned(),
        Kind::AirGathers(AirGathers { why: PocketCause::BelowShutOff, cock_only: true }) => "Install an air cock there. Open it each time the pipeline empties, and close it before the plant operates. A vent that opens automatically draws air in during operation.".to_owned(),
        Kind::AirGathers(AirGathers { why: PocketCause::BelowShutOff, .. }) if finding.from_m <= 0.0 => "Install a vent directly below the pipe inlet that lets air in.".to_owned(),
        Kind::AirGathers(AirGathers { why: PocketCause::BelowShutOff, .. }) => "Install a vent directly below the valve that lets air in.".to_owned(),
        Kind::AirGathers { .. } => "Fill slowly. If the power falls after some time, release the air here first.".to_owned(),
        Kind::LowUndrained { .. } => "Install a drain at the low point. Make sure that the water can flow away and cause no damage.".to_owned(),
        Kind::Fast { .. } => "Use a larger pipe or fewer nozzles. A high velocity also makes the surge stronger.".to_owned(),
        Kind::StreamShort(StreamShort { feeds: Some(feeds), .. }) => format!("Operate {feeds} or less in that season. The compensation flow that must stay in the stream has priority."),
        Kind::StreamShort(StreamShort { feeds: None, .. }) => "Shut down in that season, or use a smaller nozzle. The compensation flow that must stay in the stream has priority.".to_owned(),
        Kind::LossHigh { .. } => "Compare a larger pipe or smaller nozzles: `steadyfall size`. With the new pipe, the safe closing times are different.".to_owned(),
        Kind::GaugeOff(GaugeOff { next: Some(next), .. }) => format!("Next reading: {}.", next_reading(next, say)),
        Kind::GaugeOff { .. } => "Read it again together with the other gauges, and record the height of the gauge.".to_owned(),
        Kind::SubmergenceShort { .. } => "Lower the pipe inlet, or raise the low water level. Or install a board above the inlet to stop the vortex.".to_owned(),
        Kind::HoldWanted(HoldWanted { kind: MarkKind::ExpansionJoint, .. }) => "Install them as listed, each directly below the restraint above it, with the listed thrust blocks and anchors. An expansion joint transmits no pull, so the pressure force of each bend and end goes into the adjacent restraints. Set each joint for the temperature of the day. Where a burst could hurt a person, an engineer must inspect the site.".to_owned(),
        Kind::HoldWanted(HoldWanted { with_joints: true, kind, .. }) => format!("Install the {}s together with the listed expansion joints, anchors and thrust blocks. One without the others does not hold the pipe. The soil values are first estimates. Where a burst could hurt a person, an engineer must inspect the site.", kind_label(*kind)),
        Kind::HoldWanted(HoldWanted { slack_m: Some(_), .. }) => "Lay the pipe there in a gentle curve. It must be free to slide and to straighten. Do not bend it below its minimum bend radius. Fix the pipe only at the listed anchors.".to_owned(),
        Kind::HoldWanted(HoldWanted { why: HoldWhy::PullOut, .. }) => "Install the anchors as listed. Clamp them tightly to the pipe, in line with the pipe. Make the expansion loops at the listed stations. Where a burst could hurt a person, an engineer must inspect the site.".to_owned(),
        Kind::HoldWanted(HoldWanted { why: HoldWhy::Heat, kind, .. }) => format!("Install the {}s, or leave slack so that the pipe can snake where it damages nothing.", kind_label(*kind)),
        Kind::HoldWanted(HoldWanted { why: HoldWhy::Flood, kind, .. }) => format!("Install the {}s on rock or driven anchors, not on small trees. A better solution: lay the pipe out of the flood area.", kind_label(*kind)),
        Kind::HoldWanted(HoldWanted { kind, .. }) => format!("Install the {}s as listed. The soil values are first estimates. Where a burst could hurt a person, an engineer must inspect the site.", kind_label(*kind)),
        Kind::BendTooSharp(BendTooSharp { elbow_rad, restrained: true, .. }) => format!("Install {} there with restrained joints, or increase the bend radius.", elbow_words(*elbow_rad)),
        Kind::BendTooSharp(BendTooSharp { elbow_rad, .. }) => format!("Install {} there, restrained against the thrust, or increase the bend radius.", elbow_words(*elbow_rad)),
        Kind::BendNotSettled { .. } => "Before you buy an elbow, sight both sides of the bend with a compass and a clinometer. Or lay a template.".to_owned(),
        Kind::FittingInBend { .. } => "Move it to a straight section of pipe, or clamp the pipe straight on both sides of it.".to_owned(),
        Kind::JointsForced { .. } => "Use longer lengths of pipe there. Or fuse these joints, and inspect them first after each storm.".to_owned(),
        Kind::Suction { .. } => "Use no joints in this section, or use joints that are tight against negative pressure.".to_owned(),
        Kind::ZonesWouldDo(_) => "For pipe that is not bought yet: compare the price, the joints between classes, and the stock. Mark the class on each length of pipe before it goes to the site.".to_owned(),
        Kind::LighterWouldDo(of) if of.needs_air => "For pipe that is not bought yet: compare the price, the automatic vents included. Run the check again with the lighter pipe.".to_owned(),
        Kind::LighterWouldDo(_) => "For pipe that is not bought yet: compare the price.".to_owned(),
        Kind::CheckMarking { .. } => "Check the marking on the pipe: standard, size, class.".to_owned(),
        Kind::NotRecorded(NotRecorded { setups }) => format!("Walk this section again, or survey it with a level (about {}). Until then, do not assume that it falls there.", number_of(*setups, "set-up")),
        Kind::TerrainModel(_) => "Walk with a receiver that records its own heights, or survey the important sections with a level.".to_owned(),
        Kind::MisclosureOver { .. } => "Check the rows that the remarks name. Survey the worst section again.".to_owned(),
        Kind::SurgeNotValid(_) => "First, vent or remove the rising sections. Until then, operate the valves much more slowly than the printed times.".to_owned(),
        Kind::UsedPipe { .. } => "Measure the wall thickness at the thinnest place. Do a hydrostatic test. Enter the remaining share of the rating with the key `derate`.".to_owned(),
        Kind::WallTooWarm { .. } => "Bury or shade the pipe, or keep water flowing through it on hot days.".to_owned(),
        Kind::TrafficLoad(TrafficLoad { outcome: Ok(_) }) => "Lay the pipe deeper or in a sleeve, or keep vehicles away.".to_owned(),
        Kind::TrafficLoad(TrafficLoad { outcome: Err(NoWheel::CoverUnknown | NoWheel::SoilUnknown) }) => "Give the cover and the soil in the site file. Until then, keep vehicles away.".to_owned(),
        Kind::TrafficLoad(TrafficLoad { outcome: Err(NoWheel::CoverTooThin) }) => format!("Before you dig, enter a cover of {} or more in the site file and run the check again. It then calculates the load. Until then, keep vehicles away. Or lay the pipe in a sleeve.", say.at_least(Quantity::Head, COVER_THAT_COUNTS_M)),
        Kind::TrafficLoad(TrafficLoad { outcome: Err(_) }) => "Lay the pipe deeper in firm ground or in a sleeve, or keep vehicles away.".to_owned(),
        Kind::NeedsAir(NeedsAir { wanted: 0, .. }) => "Before you close the head valve or open a drain, make sure that these vents are open and clear.".to_owned(),
        Kind::NeedsAir { .. } => "Install the required vents before you empty the pipeline for the first time. Before you close the head valve or open a drain, make sure that all vents are open and clear.".to_owned(),
    }
}

fn vent(fault: &VentFault, say: Say) -> String {
    match fault {
        VentFault::Stuck => "Repair or replace it before the next filling.",
        VentFault::CockShut => "Open the isolating valve below it. Mark it so that it stays open.",
        VentFault::ToCome => "Install it before you fill the pipeline.",
        VentFault::OnlyIn => "Install an air valve next to it. Or replace it with a combination valve or a standpipe.",
        VentFault::OnlyOut => "Install a vacuum valve next to it. Or replace it with a combination valve or a standpipe.",
        VentFault::ByHand => "Install an automatic vent. Or make sure that nobody restarts the pipeline before this vent is open.",
        VentFault::Spills { raise_m, .. } => {
            return format!("Make the standpipe {} longer, or install an air valve in its place.", say.head(*raise_m));
        }
        VentFault::TopUnknown | VentFault::BoreUnknown => "Measure it and write it in the site file.",
        VentFault::BoreUnder(_) => "Install a wider one.",
        VentFault::Inhales(_) => "Throttle at the turbine valve so that the hydraulic grade line stays above it. Or replace it with an air cock: open for filling and emptying, closed in operation. Then no automatic vent protects the pipe there.",
        VentFault::BelowCrest(_) => "Move it to the high point.",
    }
    .to_owned()
}

/// What keeps stones from a jet.
const STONE: &str = "Install a fine screen and a settling basin, and maintain both.";

/// Every remedy with its number, the least effort first. How far to throttle is told state by state: each has its own jets.
fn remedies(
    case: &RunState,
    limited: &crate::flow::Limited,
    also: &[AlsoHeld],
    say: Say,
) -> String {
    let mut all: Vec<String> = limited
        .remedies
        .iter()
        .map(|r| match r {
            Remedy::Throttle { .. } if !also.is_empty() => {
                let others: Vec<String> = also
                    .iter()
                    .filter_map(|also| {
                        let share = say.share(also.area_share?);
                        Some(format!("{}: to {share}", also.case))
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
        _ => format!("Do one of these. {}", all.join(" Or: ")),
    }
}

/// How a movement is made that keeps its law.
fn evenly(law: Law) -> &'static str {
    match law {
        Law::Stroke => "at a constant speed",
        Law::Area => "with the open area changing at a constant rate",
    }
}
