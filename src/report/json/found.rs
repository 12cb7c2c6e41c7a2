//! The list `findings`: what was found, with its figures by key and unit.

use super::buried::found as buried;
use super::found_air::air;
use super::found_slip::slip;
use super::found_solid::solid;
use super::gauging::found as gauging;
use super::holds::at_word;
use super::metal::rust;
use super::proof::trial;
use super::running::limited;
use super::surge::law_word;
use crate::anchor::{HoldWhy, Towards};
use crate::finding::{
    Finding, HoldWanted, Kind, Lighter, LighterZones, PressureCause, Since, Unheld, WithMarks,
};
use crate::flow::{Explanation, NextReading, WhyNot};
use crate::pipe::{COVER_THAT_COUNTS_M, MarkKind};
use crate::report::words::{
    Say, advice, cause_word, joint_word, kind_word, next_reading, no_wheel, sense_word,
    severity_word, text, towards_word, why_not,
};
use crate::strength::NoWheel;
use serde_json::{Map, Value, json};

/// The list `findings`.
pub fn findings(findings: &[Finding], say: Say) -> Value {
    findings.iter().map(|f| one(f, say)).collect()
}

fn one(f: &Finding, say: Say) -> Value {
    json!({
        "id": format!("F{}", f.number),
        "code": f.kind.code(),
        "kind": f.kind.word(),
        "severity": severity_word(f.severity),
        "from_station_m": f.from_m,
        "to_station_m": f.to_m,
        "certainty": f.certainty,
        "since": f.since.map(since_word),
        "with_marks": f.with_marks.map(with_marks_word),
        "figures": figures(&f.kind, say),
        "text": text(f, say),
        "do": advice(f, say),
        "basis": f.kind.basis(),
        "from_memory": f.from_memory,
    })
}

/// When a finding of a comparison came up.
pub fn since_word(since: Since) -> &'static str {
    match since {
        Since::Before => "before",
        Since::New => "new",
    }
}

/// What the wanted marks do to a finding.
fn with_marks_word(with: WithMarks) -> &'static str {
    match with {
        WithMarks::Stays => "stays",
        WithMarks::Brought => "brought",
    }
}

/// The figures behind a finding, SI, the unit in the key.
fn figures(kind: &Kind, say: Say) -> Value {
    match kind {
        Kind::OverPressure { .. }
        | Kind::NotPressurePipe { .. }
        | Kind::NoRating { .. }
        | Kind::CollapseWithoutAir { .. }
        | Kind::JointInSuction { .. }
        | Kind::PressureNotSettled { .. }
        | Kind::CollapseNotSettled { .. }
        | Kind::JointNotSettled { .. }
        | Kind::ForbiddenJoint { .. }
        | Kind::Suction { .. }
        | Kind::LighterWouldDo(_)
        | Kind::ZonesWouldDo(_)
        | Kind::CheckMarking { .. }
        | Kind::UsedPipe { .. }
        | Kind::TooWarm { .. }
        | Kind::Wheel { .. }
        | Kind::NeedsAir { .. } => pipe(kind),
        Kind::SurgeOver { .. }
        | Kind::ColumnParts { .. }
        | Kind::PartingNotSettled { .. }
        | Kind::SurgeNotValid => surge(kind),
        Kind::Unrestrained(_)
        | Kind::HoldWanted(_)
        | Kind::BendTooSharp { .. }
        | Kind::BendNotSettled { .. }
        | Kind::FittingInBend { .. }
        | Kind::JointsForced { .. } => holds(kind),
        Kind::ClimbUnvented { .. }
        | Kind::ClimbDoubtful { .. }
        | Kind::ClimbVented { .. }
        | Kind::Flat { .. }
        | Kind::AirGathers { .. }
        | Kind::LowUndrained { .. }
        | Kind::Locks(_)
        | Kind::MayStart(_)
        | Kind::StartNotSettled(_)
        | Kind::AirTakes { .. }
        | Kind::VentFails { .. }
        | Kind::TerrainModel
        | Kind::NotRecorded { .. }
        | Kind::Misclosure { .. } => air(kind),
        Kind::Slip(of) => slip(of),
        Kind::Buried(of) => buried(of),
        Kind::Gauging(of) => gauging(of),
        Kind::Solid(of) => solid(of),
        Kind::Trial(of) => trial(of),
        Kind::Rust(of) => rust(of),
        Kind::NoHead { .. }
        | Kind::CannotBe { .. }
        | Kind::NotFull { .. }
        | Kind::FullNotSettled { .. }
        | Kind::Fast { .. }
        | Kind::StreamShort { .. }
        | Kind::LossHigh { .. }
        | Kind::GaugeOff { .. }
        | Kind::SiphonFails { .. }
        | Kind::SiphonByHand { .. }
        | Kind::SiltSettles { .. }
        | Kind::FirstMetresFlat { .. }
        | Kind::Submergence { .. } => water(kind, say),
    }
}

/// What makes a pressure: its kind and, where it has one, its name.
fn cause(of: &PressureCause) -> (&'static str, Option<&str>) {
    match of {
        PressureCause::Standing => ("standing", None),
        PressureCause::StandingInSun => ("standing in the sun", None),
        PressureCause::Running(name) => ("running", Some(name)),
        PressureCause::Surge(name) => ("surge", Some(name)),
        PressureCause::Test => ("test", None),
        PressureCause::Filling => ("filling", None),
        PressureCause::Emptied(name) => ("emptied", Some(name)),
    }
}

fn pipe(kind: &Kind) -> Value {
    match kind {
        Kind::OverPressure {
            spec,
            weakest,
            use_high,
            pressure_pa,
            allowed_pa,
            cause: of,
        } => {
            let (cause, name) = cause(of);
            json!({"spec": spec, "weakest": weakest, "use_high": use_high, "pressure_pa": pressure_pa, "allowed_pa": allowed_pa, "cause": cause, "cause_name": name})
        }
        Kind::NotPressurePipe { spec, reason } => json!({"spec": spec, "reason": reason}),
        Kind::CheckMarking { spec } => json!({"spec": spec}),
        Kind::NoRating { spec, may_be } => json!({
            "spec": spec,
            "weakest_grade": may_be.as_ref().map(|m| &m.0.grade.grade), "weakest_rating_pa": may_be.as_ref().map(|m| m.0.grade.rating_pa), "weakest_use_high": may_be.as_ref().and_then(|m| m.0.use_high),
            "strongest_grade": may_be.as_ref().map(|m| &m.1.grade.grade), "strongest_rating_pa": may_be.as_ref().map(|m| m.1.grade.rating_pa), "strongest_use_high": may_be.as_ref().and_then(|m| m.1.use_high),
        }),
        Kind::ForbiddenJoint { joint } => json!({"joint": joint_word(*joint)}),
        Kind::CollapseWithoutAir {
            of,
            cause: by,
            collapse_pa,
            least_pa,
            at_once,
        } => {
            let (cause, name) = cause(by);
            json!({"valve": (!of.is_empty()).then_some(of), "cause": cause, "cause_name": name, "collapse_pa": collapse_pa, "least_pa": least_pa, "at_once": at_once})
        }
        Kind::JointInSuction {
            joint,
            least_pa,
            limit_pa,
            cause: by,
            at_once,
        } => {
            let (cause, name) = cause(by);
            json!({"joint": joint_word(*joint), "least_pa": least_pa, "limit_pa": limit_pa, "cause": cause, "cause_name": name, "at_once": at_once})
        }
        Kind::PressureNotSettled {
            use_mean,
            use_high,
            spec,
        } => json!({"spec": spec, "use_mean": use_mean, "use_high": use_high}),
        Kind::CollapseNotSettled {
            spec,
            cause: by,
            pull_pa,
            use_mean,
            use_low,
        } => {
            let (cause, name) = cause(by);
            json!({"spec": spec, "cause": cause, "cause_name": name, "least_low_pa": -pull_pa, "use_mean": use_mean, "use_low": use_low})
        }
        Kind::JointNotSettled {
            joint,
            least_pa,
            least_low_pa,
            limit_pa,
            cause: by,
        } => {
            let (cause, name) = cause(by);
            json!({"joint": joint_word(*joint), "least_pa": least_pa, "least_low_pa": least_low_pa, "limit_pa": limit_pa, "cause": cause, "cause_name": name})
        }
        Kind::Suction { case, pressure_pa } => {
            json!({"case": case.to_string(), "pressure_pa": pressure_pa})
        }
        Kind::LighterWouldDo(Lighter {
            spec,
            lightest,
            needs_air,
        }) => json!({"spec": spec, "lightest_spec": lightest, "needs_air": needs_air}),
        Kind::ZonesWouldDo(LighterZones {
            list,
            saved_kg,
            needs_air,
            use_high,
            net_head_m,
        }) => json!({
            "zones": list.iter().map(|(from, to, spec)| json!({"from_station_m": from, "to_station_m": to, "spec": spec})).collect::<Vec<_>>(),
            "saved_kg": saved_kg, "needs_air": needs_air, "use_high": use_high, "net_head_m": net_head_m.map(|m| m.1), "net_head_declared_m": net_head_m.map(|m| m.0),
        }),
        Kind::UsedPipe { spec, share } => json!({"spec": spec, "share": share}),
        Kind::TooWarm {
            spec,
            wall_c,
            limit_c,
        } => json!({"spec": spec, "wall_c": wall_c, "limit_c": limit_c}),
        Kind::Wheel { outcome } => match outcome {
            Ok(share) => json!({"share": share}),
            Err(why) => {
                let wanted_m = (*why == NoWheel::CoverTooThin).then_some(COVER_THAT_COUNTS_M);
                json!({"reason": no_wheel(*why), "wanted_cover_m": wanted_m})
            }
        },
        Kind::NeedsAir { stand, wanted } => json!({"stand": stand, "wanted": wanted}),
        _ => Value::Object(Map::new()),
    }
}

fn surge(kind: &Kind) -> Value {
    match kind {
        Kind::SurgeOver {
            movement,
            pressure_pa,
            allowed_pa,
            safe_s,
            law,
            at_once,
        } => {
            json!({"movement": movement, "pressure_pa": pressure_pa, "allowed_pa": allowed_pa, "safe_s": safe_s, "law": law_word(*law), "at_once": at_once})
        }
        Kind::ColumnParts {
            movement,
            on_the_way,
            at_s,
            safe_s,
            law,
            at_once,
        } => {
            json!({"movement": movement, "on_the_way": on_the_way, "at_s": at_s, "safe_s": safe_s, "law": law_word(*law), "at_once": at_once})
        }
        Kind::PartingNotSettled { movement, safe_s } => {
            json!({"movement": movement, "safe_s": safe_s})
        }
        _ => Value::Object(Map::new()),
    }
}

fn holds(kind: &Kind) -> Value {
    match kind {
        Kind::Unrestrained(Unheld {
            force_n,
            joint,
            at,
            towards,
            sense,
            along,
            no_block,
            by,
            by_parts,
        }) => json!({
            "force_n": force_n, "joint": joint_word(*joint), "at": at_word(at), "towards": towards.iter().map(|t: &Towards| towards_word(*t)).collect::<Vec<_>>(),
            "sense": sense_word(*sense), "along": along, "block_offered": no_block.is_none(), "state": by, "state_parts": by_parts,
        }),
        Kind::HoldWanted(HoldWanted {
            kind,
            force_n,
            count,
            why,
            without_slack_n,
            slack_m,
            with_joints,
        }) => json!({
            "mark": kind_word(*kind), "against": against_word(*why), "force_n": (*kind != MarkKind::Loop).then_some(force_n), "count": count,
            "force_tight_n": without_slack_n, "slack_m": slack_m, "with_expansion_joints": with_joints,
        }),
        Kind::BendTooSharp {
            angle_rad,
            radius_m,
            least_m,
            elbow_rad,
            restrained,
        } => {
            json!({"angle_deg": angle_rad.to_degrees(), "radius_m": radius_m, "least_radius_m": least_m, "elbow_deg": elbow_rad.to_degrees(), "restrained": restrained})
        }
        Kind::BendNotSettled { angle_rad, sd_rad } => {
            json!({"angle_deg": angle_rad.to_degrees(), "angle_sd_deg": sd_rad.to_degrees()})
        }
        Kind::FittingInBend { name } => json!({"name": name}),
        Kind::JointsForced { count } => json!({"count": count}),
        _ => Value::Object(Map::new()),
    }
}

/// What a hold is against.
fn against_word(why: HoldWhy) -> &'static str {
    match why {
        HoldWhy::Thrust => "thrust",
        HoldWhy::PullOut => "end pulling out",
        HoldWhy::Slope => "sliding",
        HoldWhy::Flood => "flood",
        HoldWhy::Heat => "heat",
        HoldWhy::Jointed => "run between expansion joints",
        HoldWhy::Span => "sagging",
    }
}

fn water(kind: &Kind, say: Say) -> Value {
    match kind {
        Kind::NoHead { gross_head_m } => json!({"gross_head_m": gross_head_m}),
        Kind::CannotBe {
            cases,
            why,
            fitting,
        } => {
            let (asked, most) = match why {
                WhyNot::TooMuch {
                    asked_m3_per_s,
                    most_m3_per_s,
                } => (Some(asked_m3_per_s), Some(most_m3_per_s)),
                _ => (None, None),
            };
            json!({
                "cases": cases.iter().map(ToString::to_string).collect::<Vec<_>>(), "reason": why_not(*why, fitting.as_deref(), say),
                "asked_m3_per_s": asked, "most_m3_per_s": most,
            })
        }
        Kind::NotFull {
            case,
            flow_m3_per_s,
            limited: l,
            also,
        } => json!({
            "case": case.to_string(), "flow_m3_per_s": flow_m3_per_s, "limited": limited(l, say),
            "also": also.iter().map(|(case, share)| json!({"case": case.to_string(), "area_share": share})).collect::<Vec<_>>(),
        }),
        Kind::FullNotSettled {
            case,
            pressure_pa,
            low_pa,
            limit_pa,
        } => {
            json!({"case": case.to_string(), "least_pa": pressure_pa, "least_low_pa": low_pa, "limit_pa": limit_pa})
        }
        Kind::Fast {
            case,
            velocity_m_per_s,
            limit_m_per_s,
        } => {
            json!({"case": case.to_string(), "velocity_m_per_s": velocity_m_per_s, "limit_m_per_s": limit_m_per_s})
        }
        Kind::StreamShort {
            case,
            flow_m3_per_s,
            available_m3_per_s,
            month,
            feeds,
        } => {
            json!({"case": case.to_string(), "flow_m3_per_s": flow_m3_per_s, "available_m3_per_s": available_m3_per_s, "month": month, "feeds": feeds.as_ref().map(ToString::to_string)})
        }
        Kind::LossHigh { case, share } => json!({"case": case.to_string(), "share": share}),
        Kind::GaugeOff {
            shut,
            by_m,
            sd_m,
            causes,
            ranked,
            next,
        } => json!({
            "shut": shut, "off_m": by_m, "off_sd_m": sd_m, "ranked": ranked,
            "explanations": causes.iter().map(explanation).collect::<Vec<_>>(),
            "next_reading": next.as_ref().map(|n: &NextReading| next_reading(n, say)),
        }),
        Kind::SiphonFails {
            lift_m,
            gauge_m,
            limit_m,
            vented,
        } => {
            json!({"lift_m": lift_m, "gauge_m": gauge_m, "limit_m": limit_m, "vented": vented})
        }
        Kind::SiphonByHand { lift_m, boils_at_m } => {
            json!({"lift_m": lift_m, "boils_at_m": boils_at_m})
        }
        Kind::SiltSettles {
            case,
            velocity_m_per_s,
            carries_m_per_s,
            flushes_m_per_s,
        } => {
            json!({"case": case.to_string(), "velocity_m_per_s": velocity_m_per_s, "carries_m_per_s": carries_m_per_s, "flushes_m_per_s": flushes_m_per_s})
        }
        Kind::FirstMetresFlat {
            to_m,
            least_gauge_m,
        } => json!({"first_to_m": to_m, "least_gauge_m": least_gauge_m}),
        Kind::Submergence { has_m, wants_m } => json!({"has_m": has_m, "wanted_m": wants_m}),
        _ => Value::Object(Map::new()),
    }
}

fn explanation(e: &Explanation) -> Value {
    json!({"cause": cause_word(e.cause), "head_m": e.head_m, "sd_m": e.sd_m, "fit": e.fit, "crests_m": e.crests_m})
}
