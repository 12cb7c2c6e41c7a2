use crate::air::Step;
use crate::laying::Laying;
use crate::regrade::{Kind, Plan, Why};
use crate::report::shopping;
use crate::report::words::{Say, act, act_cautions, job_word, joint_word};
use serde_json::{Value, json};

/// The list `regrade`.
pub fn regrade(plans: &[Plan]) -> Value {
    plans
        .iter()
        .map(|plan| {
            json!({
                "kind": kind_word(plan.kind),
                "cost": plan.cost,
                "dug_m2": plan.dug_m2,
                "propped_m2": plan.propped_m2,
                "deepest_m": plan.deepest_m,
                "highest_m": plan.highest_m,
                "certainty": plan.sure,
                "certainty_with_extra": plan.sure_with_extra,
                "stakes": plan.stakes.iter().map(|s| json!({
                    "station_m": s.station_m, "now_m": s.now_m, "wanted_m": s.wanted_m, "change_m": s.change_m, "extra_m": s.extra_m,
                })).collect::<Vec<_>>(),
                "remaining": plan.remaining.iter().map(|r| json!({"from_station_m": r.from_m, "to_station_m": r.to_m, "why": why_word(r.why)})).collect::<Vec<_>>(),
                "too_tight_m": plan.too_tight_m,
            })
        })
        .collect()
}

/// The word of a plan's kind.
pub fn kind_word(kind: Kind) -> &'static str {
    match kind {
        Kind::Mixed => "mixed",
        Kind::Dig => "dig",
        Kind::Prop => "prop",
    }
}

fn why_word(why: Why) -> &'static str {
    match why {
        Why::Held => "both ends are held",
        Why::Undug => "may not be dug so deep",
        Why::Unpropped => "may not be propped so high",
    }
}

/// The list `work`: the order of work, step by step, in words.
pub fn steps(steps: &[Step], say: Say) -> Value {
    steps
        .iter()
        .map(|s| {
            json!({
                "job": job_word(s.job),
                "text": act(&s.act, say),
                "cautions": s.cautions.iter().map(|c| act_cautions(*c)).collect::<Vec<_>>(),
                "from_memory": s.from_memory,
            })
        })
        .collect()
}

/// The block `laying`: pieces, joints, what to buy.
pub fn laying(laying: &Laying) -> Value {
    json!({
        "pieces": laying.pieces.iter().map(|p| json!({
            "number": p.number, "from_station_m": p.from_m, "to_station_m": p.to_m, "cut_m": p.cut_m, "bought_m": p.bought_m, "left_m": p.left_m, "coil": p.coil,
        })).collect::<Vec<_>>(),
        "joints": laying.joints.iter().map(|j| json!({"station_m": j.station_m, "joint": joint_word(j.joint), "forced": j.forced.is_some()})).collect::<Vec<_>>(),
        "bends": laying.bends.iter().map(|b| json!({
            "station_m": b.station_m, "angle_deg": b.angle_rad.to_degrees(), "angle_sd_deg": b.sd_rad.to_degrees(), "least_radius_m": b.least_radius_m, "radius_m": b.radius_m,
            "elbow_deg": match b.way { crate::laying::Way::Elbow(rad) => Some(rad.to_degrees()), _ => None },
        })).collect::<Vec<_>>(),
        "shopping": laying.shopping.iter().map(|row| json!({
            "item": shopping::item_word(&row.item), "spec": row.spec, "bore_m": row.bore_m, "count": row.count, "spare": row.spare, "unit": shopping::unit_word(row.unit),
            "each_m": row.each_m, "mass_kg": row.mass_kg, "price": row.price, "force_n": row.force_n, "rating_pa": row.rating_pa, "stations_m": row.stations_m, "why": shopping::why_word(row.why),
        })).collect::<Vec<_>>(),
    })
}
