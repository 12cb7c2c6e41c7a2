use super::air::vent_fault;
use super::flow::{explained, not_full};
use super::force::{push_way, pushes_word};
use super::grade::grade;
use super::hold::hold;
use super::label::{joint_label, local};
use super::{Say, states, why_not};
use super::{buried, climb, gauging, rust, slip, solid, start, trial};
use crate::air::PocketCause;
use crate::finding::{
    AirGathers, BendNotSettled, BendTooSharp, CannotBe, CheckMarking, ClimbDoubtful, ClimbVented,
    CollapseNotSettled, CollapseWithoutAir, ColumnParts, Fast, Finding, FirstMetresFlat,
    FittingInBend, ForbiddenJoint, FullNotSettled, GaugeOff, HardlyFalls, JointInSuction,
    JointNotSettled, JointsForced, Kind, LighterWouldDo, LossHigh, LowUndrained, MisclosureOver,
    NeedsAir, NoHead, NoRating, NotFull, NotPressurePipe, OverPressure, PartingNotSettled,
    PressureCause, PressureNotSettled, SiltSettles, SiphonByHand, SiphonFails, StreamShort,
    SubmergenceShort, Suction, SurgeOver, TrafficLoad, Unrestrained, UsedPipe, VentFails,
    WallTooWarm, WithMarks, ZonesWouldDo,
};
use crate::unit::Quantity;

/// What was found, in one or two sentences with its figures.
pub fn text(finding: &Finding, say: Say) -> String {
    let told = local(harm(finding, say), say);
    match finding.with_marks {
        Some(WithMarks::Brought) => format!("After the required devices are installed: {told}"),
        _ => told,
    }
}

fn harm(finding: &Finding, say: Say) -> String {
    let at = &say.between(finding.from_m, finding.to_m);
    match &finding.kind {
        Kind::Slip(of) => slip::harm(of, at, say),
        Kind::Buried(of) => buried::harm(of, at, say),
        Kind::Gauging(of) => gauging::harm(of, say),
        Kind::Solid(of) => solid::harm(of, say),
        Kind::TestOutcome(of) => trial::harm(of, say),
        Kind::Rust(of) => rust::harm(of, at, say),
        Kind::AirGathers(AirGathers {
            why: PocketCause::BelowShutOff,
            ..
        }) if finding.from_m <= 0.0 => {
            format!("Air collects {at} when the pipe inlet is closed or blocked.")
        }
        Kind::OverPressure(OverPressure {
            spec,
            weakest,
            use_high,
            pressure_pa,
            allowed_pa,
            cause,
        }) => format!(
            "{spec} {at}: the pressure is {} ({}). The allowable pressure of the {weakest} is {}. The utilization is {}, with the survey uncertainty included.",
            say.pressure(*pressure_pa),
            pressure_cause(cause),
            say.pressure(*allowed_pa),
            say.share(*use_high)
        ),
        Kind::NotPressurePipe(NotPressurePipe { spec, reason }) => {
            format!("{spec} is not pressure pipe: {reason}.")
        }
        Kind::NoRating(NoRating {
            spec,
            may_be: Some((weak, strong)),
        }) => format!(
            "The pressure rating of {spec} is not known. Its outside diameter and wall thickness fit several grades. The weakest possible grade is {}. The strongest possible grade is {}.",
            grade(weak, say),
            grade(strong, say)
        ),
        Kind::NoRating(NoRating { spec, may_be: None }) => format!(
            "The pressure rating and the wall thickness of {spec} are not known. Its strength cannot be calculated."
        ),
        Kind::CollapseWithoutAir(CollapseWithoutAir {
            valve,
            cause,
            collapse_pa,
            least_pa,
            at_once: _,
        }) => format!(
            "{} The pressure falls to {} below atmospheric pressure. The pipe {at} collapses at about {}. The collapse pressure must be two times the vacuum.",
            match (valve, cause) {
                (Some(valve), _) =>
                    format!("With {valve} closed, the pipeline empties below it and no air enters."),
                (None, PressureCause::Emptied(how)) =>
                    format!("The pipeline empties and no air enters ({how})."),
                (None, other) => format!("{}.", upper(&pressure_cause(other))),
            },
            say.pressure(-least_pa),
            say.pressure(*collapse_pa)
        ),
        Kind::Unrestrained(Unrestrained {
            force_n,
            joint,
            at: what,
            towards,
            sense,
            by,
            by_parts,
            ..
        }) => format!(
            "{} {at} pushes {} with up to {} ({by}). The {} joints do not restrain this force.{}",
            upper(&pushes_word(what)),
            push_way(*sense, towards),
            say.at_least(Quantity::Force, *force_n),
            joint_label(*joint),
            if *by_parts {
                " Column separation occurs in this operation. The force can be larger when the columns rejoin."
            } else {
                ""
            }
        ),
        Kind::ForbiddenJoint(ForbiddenJoint { joint }) => format!(
            "A {} {at} is not a joint for a pressure pipeline.",
            joint_label(*joint)
        ),
        Kind::NoHead(NoHead { gross_head_m }) => format!(
            "The static water level at the intake is {} {} the nozzles. No water would flow.",
            say.head(gross_head_m.abs()),
            if *gross_head_m < 0.0 {
                "below"
            } else {
                "above"
            }
        ),
        Kind::CannotBe(CannotBe {
            cases,
            why,
            fitting,
        }) => format!(
            "This operating condition is not possible ({}): {}.",
            states(cases),
            why_not(*why, fitting.as_deref(), say)
        ),
        Kind::ClimbUnvented(climb) => climb::unvented(climb, at, say),
        Kind::Starting(start) => start::harm(start, say),
        Kind::SurgeOver(SurgeOver {
            movement,
            pressure_pa,
            allowed_pa,
            ..
        }) => {
            format!(
                "\"{movement}\" raises the pressure {at} to {}. The allowable pressure is {}.",
                say.pressure(*pressure_pa),
                say.pressure(*allowed_pa)
            )
        }
        Kind::ColumnParts(ColumnParts { movement, at_s, .. }) => format!(
            "\"{movement}\" causes column separation {at} after {}. When the columns rejoin, the pressure rises suddenly. This program cannot calculate that pressure.",
            say.time(*at_s)
        ),
        Kind::JointInSuction(JointInSuction {
            joint,
            least_pa,
            limit_pa,
            cause,
            at_once: _,
        }) => format!(
            "At the {} joints {at}, the pressure is {} below atmospheric pressure ({}). They can draw in air and dirt. Use such joints only down to {}.",
            joint_label(*joint),
            say.pressure(-least_pa),
            pressure_cause(cause),
            over_or_below(*limit_pa, say)
        ),
        Kind::NotFull(NotFull {
            case,
            flow_m3_per_s,
            limited,
            also,
        }) => not_full(case, *flow_m3_per_s, limited, also, at, say),
        Kind::SiphonFails(SiphonFails {
            lift_m,
            gauge_m,
            limit_m,
            vented,
        }) => {
            let lift = say.head(*lift_m);
            if *vented {
                format!(
                    "The siphon at the intake is {lift} above the lowest water level. A vent lets air in, so the siphon fails and no water flows."
                )
            } else if let Some(gauge_m) = gauge_m {
                format!(
                    "The siphon at the intake is {lift} above the lowest water level. In operation, the pressure at its high point is {} below atmospheric pressure. The limit is {}.",
                    say.head(-gauge_m),
                    say.head(-limit_m)
                )
            } else {
                format!(
                    "The siphon at the intake is {lift} above the lowest water level. The limit here is {}. The siphon fails and no water flows.",
                    say.head(-limit_m)
                )
            }
        }
        Kind::PressureNotSettled(PressureNotSettled {
            use_mean,
            use_high,
            spec,
        }) => {
            format!(
                "{spec} {at}: the utilization is {} at the mean heights. With the survey uncertainty included it is {}. The survey is not accurate enough to show if the pressure is too high.",
                say.share(*use_mean),
                say.share(*use_high)
            )
        }
        Kind::CollapseNotSettled(CollapseNotSettled {
            spec,
            cause,
            least_low_pa,
            use_mean,
            use_low,
        }) => format!(
            "{spec} {at}, {}: the vacuum is {} of the allowable external pressure at the mean heights. With the survey uncertainty included it is {} ({}). The survey is not accurate enough to show if the pipe collapses.",
            pressure_cause(cause),
            say.share(*use_mean),
            say.share(*use_low),
            say.pressure(-least_low_pa)
        ),
        Kind::JointNotSettled(JointNotSettled {
            joint,
            least_pa,
            least_low_pa,
            limit_pa,
            cause,
        }) => format!(
            "{} joints {at}, {}: the pressure falls to {} at the mean heights. With the survey uncertainty included it falls to {}. The limit for such joints is {}. The survey is not accurate enough to show if they are tight.",
            upper(joint_label(*joint)),
            pressure_cause(cause),
            over_or_below(*least_pa, say),
            over_or_below(*least_low_pa, say),
            over_or_below(*limit_pa, say)
        ),
        Kind::VentFails(VentFails { name, fault }) => {
            format!("{name} {at} {}.", vent_fault(fault, say))
        }
        Kind::ClimbDoubtful(ClimbDoubtful { rise_m, rise_sd_m, hangs_on_one_walk, by, .. }) => format!(
            "The survey is not accurate enough to show if the pipe rises {at}. The largest rise there is {}.{}{}",
            say.head_sd(*rise_m, *rise_sd_m),
            if *hangs_on_one_walk { " The walks do not agree: without one of them, the result is different." } else { "" },
            by.as_ref().map_or_else(String::new, |by| format!(" If it rises there, {by} lets the air out."))
        ),
        Kind::ClimbVented(ClimbVented { rise_m, by }) => format!("The pipe rises {} {at}. {} lets the air out.", say.head(*rise_m), upper(by)),
        Kind::HardlyFalls(HardlyFalls { fall, .. }) => format!("The pipe is nearly level {at} ({}). Air and silt stay there.", say.fall(*fall)),
        Kind::AirGathers(AirGathers { why, .. }) => format!(
            "Air collects {at}{}.",
            match why {
                PocketCause::Climb => ": the pipe rises there",
                PocketCause::Break => ": the pipe becomes steeper there. When the water is too slow to clear the air, an air pocket stays below that point",
                PocketCause::NearGradeLine => ": the pipe is near the hydraulic grade line there",
                PocketCause::Flat => ": the fall there is too small to carry bubbles",
                PocketCause::BelowShutOff => " when the valve above it closes",
                PocketCause::LongRun => ": the section has an even grade and is so long that it needs an air valve",
            }
        ),
        Kind::LowUndrained(LowUndrained { left_m3, frost }) => format!("When you drain the pipeline, {} of water stays at the low point {at}.{}", say.volume(*left_m3), if *frost { " It can freeze there." } else { "" }),
        Kind::Fast(Fast { case, velocity_m_per_s, limit_m_per_s }) => format!("{case}: the velocity {at} is {}. The limit is {}.", say.speed(*velocity_m_per_s), say.speed(*limit_m_per_s)),
        Kind::StreamShort(StreamShort { case, flow_m3_per_s, available_m3_per_s, month, .. }) => {
            let when = month.map_or_else(String::new, |m| {
                format!("in the driest month (the {}) ", ordinal(m))
            });
            format!(
                "{case} needs {}. The available flow {when}is {}. The intake runs dry and draws air in.",
                say.flow(*flow_m3_per_s),
                say.flow(*available_m3_per_s)
            )
        }
        Kind::LossHigh(LossHigh { case, share }) => format!("{case}: the head loss is {} of the gross head. 10 to 15 % is usual.", say.share(*share)),
        Kind::GaugeOff(GaugeOff { shut, by_m, sd_m, causes, ranked, .. }) => {
            let head = say.head_sd(by_m.abs(), *sd_m);
            let than = if *shut { "than the survey's elevation difference" } else { "than calculated" };
            let gauge = if *shut { "static" } else { "operating" };
            format!("The {gauge} gauge reading {at} is {head} {} {than}.{}", less(*by_m), explained(causes, *ranked, say))
        }
        Kind::SiphonByHand(SiphonByHand { lift_m, boils_at_m }) => format!(
            "The intake is a siphon. Its high point is {} above the lowest water level. At {} water boils here, and no siphon works. It does not prime itself. With nobody there, the plant does not restart.",
            say.head(*lift_m), say.head(*boils_at_m)
        ),
        Kind::AirTakes(of) => {
            let flow = |q: f64| say.held(Quantity::Flow, q, of.flow_sd_m3_per_s);
            let head = |m: f64| say.held(Quantity::Head, m, of.head_sd_m);
            let (compressed, full) = (head(of.head_compressed_m), head(of.head_full_m));
            let takes = if compressed == full { full } else { format!("{compressed} to {full}") };
            let with = |left: Option<f64>, share: f64| left.map_or_else(
                || "no water flows".to_owned(),
                |q| format!("the flow is {}, with {} of the power", flow(q), say.share(share)),
            );
            format!(
                "{}: air that stays at the high points after filling causes a head loss of {takes}. Without this air, the flow is {}. With compressed air pockets, {}. If more air fills the downhill sections, {}.",
                of.case,
                flow(of.flow_m3_per_s),
                with(of.flow_compressed_m3_per_s, of.power_share_compressed), with(of.flow_full_m3_per_s, of.power_share_full)
            )
        }
        Kind::SiltSettles(SiltSettles { case, velocity_m_per_s, carries_m_per_s, flushes_m_per_s }) => format!(
            "{case}: the velocity {at} is {}. Silt settles below {}. To flush settled grit, {} is necessary.",
            say.speed(*velocity_m_per_s), say.speed(*carries_m_per_s), say.speed(*flushes_m_per_s)
        ),
        Kind::FirstMetresFlat(FirstMetresFlat { to_m, least_gauge_m }) => format!(
            "The pipe needs {} below its inlet to fall by one inside diameter. Air and leaves that enter with the water stay there.{}",
            say.paced(*to_m),
            if *least_gauge_m < 0.0 { format!(" The pressure there falls to {} below atmospheric pressure.", say.head(-least_gauge_m)) } else { String::new() }
        ),
        Kind::SubmergenceShort(SubmergenceShort { has_m, wants_m }) => format!("At the low water level, the submergence of the pipe inlet is {}. It must be {}. If it is less, vortices draw air into the pipe.", say.head(*has_m), say.head(*wants_m)),
        Kind::HoldWanted(wanted) => hold(wanted, at, say),
        Kind::BendTooSharp(BendTooSharp { angle_rad, radius_m, least_m: Some(least_m), .. }) => format!("The route turns by {} {at}. There is space for a bend radius of about {}. The minimum bend radius of the pipe is {}.", say.angle(*angle_rad), say.head(*radius_m), say.head(*least_m)),
        Kind::BendTooSharp(BendTooSharp { angle_rad, least_m: None, .. }) => format!("The route turns by {} {at}. This pipe must not be bent.", say.angle(*angle_rad)),
        Kind::BendNotSettled(BendNotSettled { angle_rad, sd_rad }) => format!("The survey is not accurate enough to show if the pipe can follow the bend {at}. It turns by {} +- {}.", say.angle(*angle_rad), say.angle(2.0 * sd_rad)),
        Kind::FittingInBend(FittingInBend { name }) => format!("{name} {at} is in a bend, or too near to a bend. Bending loads can loosen it."),
        Kind::JointsForced(JointsForced { count: 1 }) => format!("One joint {at} cannot be kept away from a rising section, high point, bend or span. The lengths of pipe are too short."),
        Kind::JointsForced(JointsForced { count }) => format!("{count} joints {at} cannot be kept away from rising sections, high points, bends or spans. The lengths of pipe are too short."),
        Kind::FullNotSettled(FullNotSettled { case, pressure_pa, low_pa, limit_pa }) => format!(
            "{case}: at the mean heights the pipeline flows full. The pressure {at} is then {}. With the survey uncertainty included, it can be {}. {}.",
            over_or_below(*pressure_pa, say),
            over_or_below(*low_pa, say),
            if *limit_pa < 0.0 {
                format!("The limit is {}", over_or_below(*limit_pa, say))
            } else {
                "The vent there would then let air in".to_owned()
            }
        ),
        Kind::PartingNotSettled(PartingNotSettled { movement, .. }) => format!(
            "\"{movement}\": at the mean heights there is no column separation. With the survey uncertainty included, the column can separate {at}. When the columns rejoin, the pressure rises suddenly."
        ),
        Kind::Suction(Suction { case, pressure_pa }) => format!("{case}: the pressure {at} is {} below atmospheric pressure. Joints there must be tight against negative pressure.", say.pressure(-pressure_pa)),
        Kind::LighterWouldDo(LighterWouldDo { spec, lightest, needs_air }) => format!("{lightest} is sufficient {at}, in place of {spec}.{}", by_vents(*needs_air)),
        Kind::ZonesWouldDo(of) => zones(of, say),
        Kind::CheckMarking(CheckMarking { spec }) => format!("The values used for {spec} are not verified against its standard."),
        Kind::NotRecorded { .. } => format!("No height was recorded {at}. The pipe is assumed to be straight between the fixes there. A rise in it would not be seen."),
        Kind::TerrainModel(_) => "The heights seem to be copied from a terrain model. Such a model smooths out the small rises that decide here.".to_owned(),
        Kind::MisclosureOver(MisclosureOver { found_m, allowed_m }) => format!("The misclosure of the level book is {}. {} is allowed.", say.head(*found_m), say.head(*allowed_m)),
        Kind::SurgeNotValid(_) => "The surge values are not valid while trapped air can stay at a high point. Compressed air can cause a larger pressure rise.".to_owned(),
        Kind::UsedPipe(UsedPipe { spec, share }) => format!("{spec} {at} is used pipe, or it rusts. The calculation uses {} of its rated pressure.", say.share(*share)),
        Kind::WallTooWarm(WallTooWarm { spec, wall_c, limit_c }) => format!(
            "{spec} {at}: the pipe wall can reach {} in the sun. The standard of this pipe gives ratings up to {} only. Thus its allowable pressure is not known at the higher temperature.",
            say.temperature(*wall_c),
            say.temperature(*limit_c)
        ),
        Kind::TrafficLoad(TrafficLoad { outcome: Ok(share) }) => format!("Traffic, soil and vacuum load the buried pipe {at} with {} of its allowable external pressure.", say.share(*share)),
        Kind::TrafficLoad(TrafficLoad { outcome: Err(why) }) => format!("The effect of traffic on the buried pipe {at} is not calculated: {}.", super::wheel::no_wheel(*why)),
        Kind::NeedsAir(NeedsAir { stand, wanted }) => format!(
            "A full vacuum can collapse the pipe {at}. Automatic vents that let air in protect this section. {} there. {} required.{}",
            match stand { 0 => "No vent is".to_owned(), 1 => "1 vent is".to_owned(), n => format!("{n} vents are") },
            match wanted { 0 => "No more is".to_owned(), 1 => "1 more is".to_owned(), n => format!("{n} more are") },
            if *stand == 0 && *wanted == 0 { " The air that it needs enters at its open ends." } else { "" }
        ),
    }
}

/// What makes a pressure, for a person.
pub fn pressure_cause(cause: &PressureCause) -> String {
    match cause {
        PressureCause::Standing => "static".to_owned(),
        PressureCause::StandingInSun => "static, in the sun".to_owned(),
        PressureCause::Running(case) => format!("operating: {case}"),
        PressureCause::Surge(movement) => format!("surge: \"{movement}\""),
        PressureCause::Test => "pressure test".to_owned(),
        PressureCause::Filling => "filling water stopped suddenly".to_owned(),
        PressureCause::Emptied(how) => format!("empty pipe: {how}"),
    }
}

/// A pressure against the air's, in words.
fn over_or_below(pressure_pa: f64, say: Say) -> String {
    if pressure_pa < 0.0 {
        format!("{} below atmospheric pressure", say.pressure(-pressure_pa))
    } else {
        format!("{} above atmospheric pressure", say.pressure(pressure_pa))
    }
}

fn by_vents(needs_air: bool) -> &'static str {
    if needs_air {
        " A full vacuum can collapse the lighter pipe. Automatic vents must let air in."
    } else {
        ""
    }
}

/// The classes by zones, what they save and what came of running them.
fn zones(of: &ZonesWouldDo, say: Say) -> String {
    let saved_kg = of.saved_kg;
    let all: Vec<String> = of
        .zones
        .iter()
        .map(|z| format!("{}: {}.", say.reach(z.from_m, z.to_m), z.spec))
        .collect();
    let mass = if saved_kg >= 0.0 {
        format!("{} lighter than declared", say.mass(saved_kg))
    } else {
        format!("{} heavier than declared", say.mass(-saved_kg))
    };
    let used = of.use_high.map_or_else(String::new, |u| {
        format!(": the utilization is {} or less", say.share(u))
    });
    let head =
        of.net_head_declared_m
            .zip(of.net_head_m)
            .map_or_else(String::new, |(before, after)| {
                format!(
                    " The net head is {} instead of {}.",
                    say.head(after),
                    say.head(before)
                )
            });
    format!(
        "These pipe classes are sufficient. {} The pipe is then {mass}. Calculated again with their own inside diameters and walls, they are strong enough{used}.{head}{}",
        all.join(" "),
        by_vents(of.needs_air)
    )
}

/// A sentence begun with a capital.
fn upper(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

fn ordinal(n: usize) -> String {
    let end = match (n % 10, n % 100) {
        (1, t) if t != 11 => "st",
        (2, t) if t != 12 => "nd",
        (3, t) if t != 13 => "rd",
        _ => "th",
    };
    format!("{n}{end}")
}

fn less(by_m: f64) -> &'static str {
    if by_m < 0.0 { "less" } else { "more" }
}
