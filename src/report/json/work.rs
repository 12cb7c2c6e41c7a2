use super::codes::act_code;
use crate::air::WorkStep;
use crate::laying::{BendCheck, BendMethod, JointAt, Laying};
use crate::regrade::{RegradePlan, StillClimbs};
use crate::report;
use crate::report::shopping;
use crate::report::words::{Say, act, act_cautions, job_word, plan_word};
use serde_json::{Value, json};

/// The list `regrade`.
pub fn regrade(plans: &[RegradePlan]) -> Value {
    plans
        .iter()
        .map(|plan| {
            json!({
                "kind": plan_word(plan.kind),
                "cost": plan.cost,
                "dug_m2": plan.dug_m2,
                "propped_m2": plan.propped_m2,
                "deepest_m": plan.deepest_m,
                "highest_m": plan.highest_m,
                "certainty": plan.sure,
                "certainty_with_extra": plan.sure_with_extra,
                "stakes": plan.stakes.iter().map(|s| json!({
                    "station_m": s.station_m, "now_m": s.now_m, "wanted_m": s.wanted_m, "change_m": s.change_m, "extra_m": s.extra_m,
                    "ground_m": s.ground_m, "trench_m": s.trench_m(), "prop_m": s.prop_m(),
                })).collect::<Vec<_>>(),
                "remaining": plan.remaining.iter().map(|r| json!({"from_station_m": r.from_m, "to_station_m": r.to_m, "why": why_word(r.why)})).collect::<Vec<_>>(),
                "too_tight_m": plan.too_tight_m,
            })
        })
        .collect()
}

fn why_word(why: StillClimbs) -> &'static str {
    match why {
        StillClimbs::Held => "both ends are held",
        StillClimbs::Undug => "may not be dug so deep",
        StillClimbs::Unpropped => "may not be propped so high",
    }
}

/// The list `work`: the order of work, step by step, in words.
pub fn steps(steps: &[WorkStep], say: Say) -> Value {
    steps
        .iter()
        .map(|s| {
            json!({
                "job": job_word(s.job),
                "code": act_code(&s.act),
                "text": act(&s.act, say),
                "cautions": s.cautions.iter().map(|c| act_cautions(*c)).collect::<Vec<_>>(),
                "from_memory": s.from_memory,
            })
        })
        .collect()
}

/// The block `laying`: pieces, joints, bends, the list in order of work, what to buy.
pub fn laying(laying: &Laying, list: &[report::laying::LayingListStep]) -> Value {
    json!({
        "pieces": laying.pieces.iter().map(|p| json!({
            "number": p.number, "from_station_m": p.from_m, "to_station_m": p.to_m, "cut_m": p.cut_m, "cut_from": p.cut_from, "bought_m": p.bought_m, "left_m": p.left_m, "coil": p.coil,
        })).collect::<Vec<_>>(),
        "joints": laying.joints.iter().map(|j| json!({
            "station_m": j.station_m, "joint": j.joint.word(), "between": between_word(j.at), "forced": j.forced.is_some(),
        })).collect::<Vec<_>>(),
        "bends": laying.bends.iter().map(bend).collect::<Vec<_>>(),
        "list": list.iter().map(|s| json!({
            "stage": report::laying::stage_word(s.stage), "what": s.what, "from_station_m": s.from_m, "to_station_m": s.to_m,
            "piece": s.piece.and_then(|i| laying.pieces.get(i)).map(|p| p.number), "heed": (!s.heed.is_empty()).then_some(&s.heed),
        })).collect::<Vec<_>>(),
        "shopping": laying.shopping.iter().map(|row| json!({
            "item": shopping::item_word(&row.item), "spec": row.spec, "bore_m": row.bore_m, "count": row.count, "spare": row.spare, "unit": shopping::unit_word(row.unit),
            "each_m": row.each_m, "left_m": row.left_m, "mass_kg": row.mass_kg, "price": row.price, "force_n": row.force_n, "rating_pa": row.rating_pa, "stations_m": row.stations_m, "why": shopping::why_word(row.why),
        })).collect::<Vec<_>>(),
    })
}

fn bend(b: &BendCheck) -> Value {
    json!({
        "station_m": b.station_m, "angle_deg": b.angle_rad.to_degrees(), "angle_sd_deg": b.sd_rad.to_degrees(), "least_radius_m": b.least_radius_m, "radius_m": b.radius_m,
        "length_m": b.length_m, "off_line_m": b.off_line_m, "clear_m": b.clear_m, "bears_joint": b.bears_joint,
        "way": match b.way {
            BendMethod::Pipe => "pipe",
            BendMethod::Joints(_) => "joints",
            BendMethod::Elbow(_) => "elbow",
            BendMethod::Stands(_) => "stands",
            BendMethod::CannotTell => "cannot tell",
        },
        "ring_joints": match b.way { BendMethod::Joints(n) => Some(n), _ => None },
        "elbow_deg": match b.way { BendMethod::Elbow(rad) => Some(rad.to_degrees()), _ => None },
    })
}

fn between_word(at: JointAt) -> &'static str {
    match at {
        JointAt::Pieces => "pieces",
        JointAt::Stands => "stands",
        JointAt::ChangeOfPipe => "two kinds of pipe",
        JointAt::Fitting(_) => "fitting",
        JointAt::Elbow(_) => "elbow",
        JointAt::Turn(_) => "turning",
    }
}
