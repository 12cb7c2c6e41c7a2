use super::air::vent_fault;
use super::flow::{explained, not_full};
use super::force::{push_way, pushes_word};
use super::grade::grade;
use super::hold::hold;
use super::name::joint_word;
use super::{Say, start, states, why_not};
use crate::air::Gathers;
use crate::finding::{Cause, Finding, Kind, Unheld, WithMarks};
use crate::strength::NoWheel;
use crate::unit::Quantity;

/// What was found, in one or two sentences with its figures.
pub fn text(finding: &Finding, say: Say) -> String {
    let told = as_it_is(finding, say);
    match finding.with_marks {
        Some(WithMarks::Brought) => format!("Not today, but once the wanted marks stand: {told}"),
        _ => told,
    }
}

fn as_it_is(finding: &Finding, say: Say) -> String {
    let at = say.reach(finding.from_m, finding.to_m);
    match &finding.kind {
        Kind::OverPressure { .. }
        | Kind::NotPressurePipe { .. }
        | Kind::NoRating { .. }
        | Kind::CollapseWithoutAir { .. }
        | Kind::Unrestrained(_)
        | Kind::ForbiddenJoint { .. }
        | Kind::NoHead { .. } => stop(&finding.kind, &at, say),
        Kind::CannotBe { .. }
        | Kind::ClimbUnvented { .. }
        | Kind::Locks(_)
        | Kind::MayStart(_)
        | Kind::SurgeOver { .. }
        | Kind::ColumnParts { .. }
        | Kind::JointInSuction { .. }
        | Kind::NotFull { .. }
        | Kind::SiphonFails { .. }
        | Kind::StartNotSettled(_)
        | Kind::PressureNotSettled { .. }
        | Kind::CollapseNotSettled { .. }
        | Kind::JointNotSettled { .. }
        | Kind::VentFails { .. } => fix(&finding.kind, &at, say),
        Kind::AirGathers {
            why: Gathers::BelowShutOff,
        } if finding.from_m <= 0.0 => {
            format!("Air gathers {at} when the mouth is shut or blocked.")
        }
        _ => watch(&finding.kind, &at, say),
    }
}

/// What makes a pressure, in words.
fn cause_words(cause: &Cause) -> String {
    match cause {
        Cause::Standing => "with the water standing".to_owned(),
        Cause::StandingInSun => "with the water standing in the sun".to_owned(),
        Cause::Running(case) => format!("running ({case})"),
        Cause::Surge(movement) => format!("in the movement \"{movement}\""),
        Cause::Test => "in the pressure test".to_owned(),
        Cause::Filling => "when the filling water is stopped at once".to_owned(),
        Cause::Emptied(how) => format!("when it empties ({how})"),
    }
}

/// A pressure against the air's, in words.
fn over_or_below(pressure_pa: f64, say: Say) -> String {
    if pressure_pa < 0.0 {
        format!("{} below the air's", say.pressure(-pressure_pa))
    } else {
        format!("{} over the air's", say.pressure(pressure_pa))
    }
}

fn stop(kind: &Kind, at: &str, say: Say) -> String {
    match kind {
        Kind::OverPressure {
            spec,
            weakest,
            use_high,
            pressure_pa,
            allowed_pa,
            cause,
        } => format!(
            "{spec}, {at}: {} {}, and the {weakest} may take {} ({} of it, with the survey's doubt counted).",
            say.pressure(*pressure_pa),
            cause_words(cause),
            say.pressure(*allowed_pa),
            say.share(*use_high)
        ),
        Kind::NotPressurePipe { spec, reason } => format!("{spec} is not pressure pipe: {reason}."),
        Kind::NoRating {
            spec,
            may_be: Some((weak, strong)),
        } => format!(
            "No pressure rating is known for {spec}. Of its outside and wall, the weakest grade that it may be, {}, and the strongest, {}.",
            grade(weak, say),
            grade(strong, say)
        ),
        Kind::NoRating { spec, may_be: None } => format!(
            "No pressure rating is known for {spec}, nor its wall, so nothing can be said of its strength."
        ),
        Kind::CollapseWithoutAir {
            of,
            cause,
            collapse_pa,
            least_pa,
            at_once: _,
        } => format!(
            "{}: the pressure falls to {} below the air's, and the pipe {at} would be sucked flat at about {}: it should be twice what pulls.",
            match cause {
                _ if !of.is_empty() =>
                    format!("When {of} is shut, the line empties below it and no air is let in"),
                Cause::Emptied(how) =>
                    format!("When the line empties and no air is let in ({how})"),
                other => upper(&cause_words(other)),
            },
            say.pressure(-least_pa),
            say.pressure(*collapse_pa)
        ),
        Kind::Unrestrained(Unheld {
            force_n,
            joint,
            at: what,
            towards,
            sense,
            by,
            by_parts,
            ..
        }) => format!(
            "{} {at} pushes {} with up to {} ({by}) on {} joints that do not hold it.{}",
            upper(&pushes_word(what)),
            push_way(*sense, towards),
            say.at_least(Quantity::Force, *force_n),
            joint_word(*joint),
            if *by_parts {
                " The water parts in that movement: when it joins again the push may be more."
            } else {
                ""
            }
        ),
        Kind::ForbiddenJoint { joint } => format!(
            "A {} {at} is no joint for a pressure line.",
            joint_word(*joint)
        ),
        Kind::NoHead { gross_head_m } => format!(
            "The water at the intake stands {} {} the nozzles: nothing would run.",
            say.head(gross_head_m.abs()),
            if *gross_head_m < 0.0 {
                "below"
            } else {
                "above"
            }
        ),
        _ => String::new(),
    }
}

fn fix(kind: &Kind, at: &str, say: Say) -> String {
    match kind {
        Kind::CannotBe {
            cases,
            why,
            fitting,
        } => format!(
            "Asked for and cannot be ({}): {}.",
            states(cases),
            why_not(*why, fitting.as_deref(), say)
        ),
        Kind::ClimbUnvented {
            rise_m,
            rise_sd_m,
            crest_m,
            pocket_m3,
            by_hand_m,
            vents_known,
            ..
        } => format!(
            "The pipe climbs {at} by {}; its crest is near {}{}. Up to {} of air can gather there as it runs.",
            say.head_sd(*rise_m, *rise_sd_m),
            say.station(*crest_m),
            match by_hand_m {
                Some(m) => format!(
                    " and only the cock at {}, while somebody opens it, lets the air out there",
                    say.station(*m)
                ),
                None if *vents_known => " and nothing lets the air out there".to_owned(),
                None => String::new(),
            },
            say.volume(*pocket_m3)
        ),
        Kind::Locks(start) => start::locks(start, say),
        Kind::MayStart(start) => start::may_start(start, say),
        Kind::SurgeOver {
            movement,
            pressure_pa,
            allowed_pa,
            ..
        } => {
            format!(
                "\"{movement}\" raises the pressure {at} to {}, more than the {} allowed for it.",
                say.pressure(*pressure_pa),
                say.pressure(*allowed_pa)
            )
        }
        Kind::ColumnParts { movement, at_s, .. } => format!(
            "In \"{movement}\" the water column parts {at} after {}; when it joins again it strikes, and no pressure can be given for that.",
            say.time(*at_s)
        ),
        Kind::JointInSuction {
            joint,
            least_pa,
            limit_pa,
            cause,
            at_once: _,
        } => format!(
            "A {} joint {at} stands {} below the air's pressure {}: it can draw air and dirt in. Such joints are trusted to {}.",
            joint_word(*joint),
            say.pressure(-least_pa),
            cause_words(cause),
            over_or_below(*limit_pa, say)
        ),
        Kind::NotFull {
            case,
            flow_m3_per_s,
            limited,
            also,
        } => not_full(case, *flow_m3_per_s, limited, also, at, say),
        Kind::SiphonFails {
            lift_m,
            gauge_m,
            limit_m,
            vented,
        } => {
            let lift = say.head(*lift_m);
            if *vented {
                format!(
                    "The siphon at the intake, {lift} above the lowest water, cannot hold: a vent lets air into it, and nothing runs."
                )
            } else if let Some(gauge_m) = gauge_m {
                format!(
                    "The siphon at the intake stands {lift} above the lowest water; running, its crest is {} below the air's pressure, and no more than {} can be worked with.",
                    say.head(-gauge_m),
                    say.head(-limit_m)
                )
            } else {
                format!(
                    "The siphon at the intake stands {lift} above the lowest water, and no more than {} can be worked with here: it does not hold, and nothing runs.",
                    say.head(-limit_m)
                )
            }
        }
        Kind::StartNotSettled(start) => start::not_settled(start, say),
        Kind::PressureNotSettled {
            use_mean,
            use_high,
            spec,
        } => {
            format!(
                "{spec} {at}: {} of what it may take by the mean heights, {} with the survey's doubt counted. The survey does not settle it.",
                say.share(*use_mean),
                say.share(*use_high)
            )
        }
        Kind::CollapseNotSettled {
            spec,
            cause,
            pull_pa,
            use_mean,
            use_low,
        } => format!(
            "{spec} {at}: {} suction takes {} of what it may take from outside by the mean heights, and {} of it ({}) with the survey's doubt counted. The survey does not settle whether it is pressed flat.",
            cause_words(cause),
            say.share(*use_mean),
            say.share(*use_low),
            say.pressure(*pull_pa)
        ),
        Kind::JointNotSettled {
            joint,
            least_pa,
            least_low_pa,
            limit_pa,
            cause,
        } => format!(
            "A {} joint {at}: {} the pressure falls to {} by the mean heights, and to {} with the survey's doubt counted; such joints are trusted to {}. The survey does not settle it.",
            joint_word(*joint),
            cause_words(cause),
            over_or_below(*least_pa, say),
            over_or_below(*least_low_pa, say),
            over_or_below(*limit_pa, say)
        ),
        Kind::VentFails { name, fault } => format!("{name} {at} {}.", vent_fault(fault, say)),
        _ => String::new(),
    }
}

fn watch(kind: &Kind, at: &str, say: Say) -> String {
    match kind {
        Kind::ClimbDoubtful { rise_m, rise_sd_m, by, .. } => format!(
            "The survey cannot tell whether the pipe climbs {at}: the largest rise there is {}.{}",
            say.head_sd(*rise_m, *rise_sd_m),
            by.as_ref().map_or_else(String::new, |by| format!(" Should it climb, {by} lets the air out."))
        ),
        Kind::ClimbVented { rise_m, by } => format!("The pipe climbs {at} by {}; {by} lets the air out.", say.head(*rise_m)),
        Kind::Flat { fall, .. } => format!("The pipe hardly falls {at} ({}): air and silt stay.", say.fall(*fall)),
        Kind::AirGathers { why } => format!(
            "Air gathers {at}{}.",
            match why {
                Gathers::Climb => ": the pipe climbs",
                Gathers::Break => ": the pipe steepens, and a pocket hangs below the break when the water is too slow to carry it",
                Gathers::NearGradeLine => ": the pipe comes near the grade line there",
                Gathers::Flat => ": too little fall to carry bubbles",
                Gathers::BelowShutOff => " when the valve above it shuts",
                Gathers::LongRun => ": an even run so long that it wants a place to let air out and in",
            }
        ),
        Kind::LowUndrained { left_m3, frost } => format!("{} of water stays in the low {at} when the line is drained{}.", say.volume(*left_m3), if *frost { ", and it can freeze there" } else { "" }),
        Kind::Fast { case, velocity_m_per_s, limit_m_per_s } => format!("{case}: the water runs at {} {at}, over the limit of {}.", say.speed(*velocity_m_per_s), say.speed(*limit_m_per_s)),
        Kind::StreamShort { case, flow_m3_per_s, available_m3_per_s, month, .. } => {
            let when = month.map_or_else(String::new, |m| {
                format!("in its leanest month, the {}, ", ordinal(m))
            });
            format!(
                "{case} takes {}, but {when}the stream can give {}: the intake runs dry and draws air.",
                say.flow(*flow_m3_per_s),
                say.flow(*available_m3_per_s)
            )
        }
        Kind::LossHigh { case, share } => format!("{case}: {} of the head is lost on the way; 10 to 15 % is usual.", say.share(*share)),
        Kind::GaugeOff { shut, by_m, sd_m, causes, ranked, .. } => {
            let head = say.head_sd(by_m.abs(), *sd_m);
            let than = if *shut { "than the survey's drop" } else { "than computed" };
            let gauge = if *shut { "shut" } else { "running" };
            format!("The {gauge} gauge {at} shows {head} {} {than}.{}", less(*by_m), explained(causes, *ranked, say))
        }
        Kind::SiphonByHand { lift_m, boils_at_m } => format!(
            "The intake is a siphon: its crest stands {} above the lowest water (at {} water boils here and no siphon works). It does not prime itself: with nobody there the plant stays down.",
            say.head(*lift_m), say.head(*boils_at_m)
        ),
        Kind::AirTakes { case, head_m, head_sd_m, flow_m3_per_s, flow_sd_m3_per_s, left_m3_per_s, power_share } => {
            let flow = |q: f64| say.held(Quantity::Flow, q, *flow_sd_m3_per_s);
            let head = |m: f64| say.held(Quantity::Head, m, *head_sd_m);
            let (squeezed, full) = (head(head_m.0), head(head_m.1));
            let takes = if squeezed == full { full } else { format!("{squeezed} to {full}") };
            let with = |left: Option<f64>, share: f64| left.map_or_else(
                || "it does not run".to_owned(),
                |q| format!("{} and {} of the power", flow(q), say.share(share)),
            );
            format!(
                "Started with the air of the climbs left in, {case} gives less: the pockets take {takes} of head. Without them {}; as they are squeezed while it runs {}; were their legs to fill whole, by air that comes in later, {}.",
                flow(*flow_m3_per_s),
                with(left_m3_per_s.0, power_share.0), with(left_m3_per_s.1, power_share.1)
            )
        }
        Kind::SiltSettles { case, velocity_m_per_s, carries_m_per_s, flushes_m_per_s } => format!(
            "{case}: the water runs at {} {at}, too slow to carry silt on ({}); to flush out settled grit it takes {}.",
            say.speed(*velocity_m_per_s), say.speed(*carries_m_per_s), say.speed(*flushes_m_per_s)
        ),
        Kind::FirstMetresFlat { to_m, least_gauge_m } => format!(
            "It takes {} of pipe below the mouth to fall by one bore: air and leaves drawn in with the water stay there{}.",
            say.paced(*to_m),
            if *least_gauge_m < 0.0 { format!(", and the pressure in them falls to {} below the air's", say.head(-least_gauge_m)) } else { String::new() }
        ),
        Kind::Submergence { has_m, wants_m } => format!("At its lowest the water stands {} over the mouth of the pipe; {} is wanted, or it draws air in whirls.", say.head(*has_m), say.head(*wants_m)),
        Kind::HoldWanted(wanted) => hold(wanted, at, say),
        Kind::BendTooSharp { angle_rad, radius_m, least_m: Some(least_m), .. } => format!("The route turns by {} {at}: there is room for a radius of about {}, and the pipe may be bent to {} and no sharper.", say.angle(*angle_rad), say.head(*radius_m), say.head(*least_m)),
        Kind::BendTooSharp { angle_rad, least_m: None, .. } => format!("The route turns by {} {at}, and this pipe is not to be bent.", say.angle(*angle_rad)),
        Kind::BendNotSettled { angle_rad, sd_rad } => format!("The survey cannot tell whether the pipe can follow the bend {at}: it turns by {} +- {}.", say.angle(*angle_rad), say.angle(2.0 * sd_rad)),
        Kind::FittingInBend { name } => format!("{name} stands in a bend {at}, or too near it: bending works it loose."),
        Kind::JointsForced { count: 1 } => format!("One joint {at} cannot be kept off a climb, a crest, a bend or a span: no piece is long enough."),
        Kind::JointsForced { count } => format!("{count} joints {at} cannot be kept off climbs, crests, bends or spans: no piece is long enough."),
        Kind::FullNotSettled { case, pressure_pa, low_pa, limit_pa } => format!(
            "{case}: by the mean heights the line runs full, with the pressure {at} {}; with the survey's doubt counted it may be {}, and {}.",
            over_or_below(*pressure_pa, say),
            over_or_below(*low_pa, say),
            if *limit_pa < 0.0 {
                format!("no more than {} is worked with", over_or_below(*limit_pa, say))
            } else {
                "the vent there would then let air in".to_owned()
            }
        ),
        Kind::PartingNotSettled { movement, .. } => format!(
            "In \"{movement}\" the water column stays whole by the mean heights; with the survey's doubt counted it may part {at}, and strike when it joins again."
        ),
        Kind::Suction { case, pressure_pa } => format!("{case}: the pressure {at} is {} below the air's; joints there must be tight to suction.", say.pressure(-pressure_pa)),
        Kind::LighterWouldDo { spec, lightest } => format!("{at} {lightest} would do in place of {spec}."),
        Kind::ZonesWouldDo { list, saved_kg, use_high, net_head_m } => zones(list, *saved_kg, *use_high, *net_head_m, say),
        Kind::CheckMarking { spec } => format!("The figures used for {spec} are not verified against its standard."),
        Kind::NotRecorded { .. } => format!("No height was recorded {at}: the pipe is taken as even between the fixes there, and a climb in it would not be seen."),
        Kind::TerrainModel => "The heights look copied from a terrain model: it smooths out what decides here.".to_owned(),
        Kind::Misclosure { found_m, allowed_m } => format!("The book fails to close by {}; {} is allowed.", say.head(*found_m), say.head(*allowed_m)),
        Kind::SurgeNotValid => "While an unvented climb may hold air, no surge figure here holds: a pocket that is squeezed can strike harder.".to_owned(),
        Kind::UsedPipe { spec, share } => format!("{spec} {at} is not new, or rusts: {} of its rating was counted.", say.share(*share)),
        Kind::TooWarm { spec, wall_c, limit_c } => format!(
            "{spec} {at} can stand in the sun at {}; its standard speaks of {} at most, so what it may take then cannot be told.",
            say.temperature(*wall_c),
            say.temperature(*limit_c)
        ),
        Kind::Wheel { outcome: Ok(share) } => format!("Traffic, ground and suction over the buried pipe {at} press it with {} of what it may take.", say.share(*share)),
        Kind::Wheel { outcome: Err(why) } => format!("What traffic does to the buried pipe {at} is not told: {}.", no_wheel(*why)),
        Kind::NeedsAir { stand, wanted } => format!(
            "A full vacuum would press the pipe {at} flat: it lives by the vents that let air in by themselves. {} there, {} wanted{}.",
            match stand { 0 => "None stands".to_owned(), 1 => "One stands".to_owned(), n => format!("{n} stand") },
            match wanted { 0 => "none is".to_owned(), 1 => "one is".to_owned(), n => format!("{n} are") },
            if *stand == 0 && *wanted == 0 { ": what it needs comes in by its open ends" } else { "" }
        ),
        _ => String::new(),
    }
}

/// The classes by zones, what they save and what came of running them.
fn zones(
    list: &[(f64, f64, String)],
    saved_kg: f64,
    use_high: Option<f64>,
    net_head_m: Option<(f64, f64)>,
    say: Say,
) -> String {
    let all: Vec<String> = list
        .iter()
        .map(|(from, to, spec)| format!("{spec} {}", say.reach(*from, *to)))
        .collect();
    let mass = if saved_kg >= 0.0 {
        format!("{} lighter than declared", say.mass(saved_kg))
    } else {
        format!("{} heavier than declared", say.mass(-saved_kg))
    };
    let used = use_high.map_or_else(String::new, |u| {
        format!(", at most {} in use", say.share(u))
    });
    let head = net_head_m.map_or_else(String::new, |(before, after)| {
        format!("; net head {} for {}", say.head(after), say.head(before))
    });
    format!(
        "By zones would do: {}. {mass}. Run again with their own bores and walls they stand{used}{head}.",
        all.join(", ")
    )
}

/// Why traffic is not judged.
pub fn no_wheel(why: NoWheel) -> &'static str {
    match why {
        NoWheel::CoverUnknown => "the cover is not stated",
        NoWheel::CoverTooThin => {
            "the cover is too thin for a formula that takes the wheel as a point far above the pipe"
        }
        NoWheel::SoilUnknown => "the soil is not stated",
        NoWheel::SoilTooSoft => "peat, mud and soft clay do not hold a ring",
        NoWheel::WallUnknown => "the wall of the pipe is not known",
    }
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
