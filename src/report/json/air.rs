//! The block `air`: where air stays and what it does, vents, drains, filling.

use super::codes::vent_why_code;
use super::marked::Marked;
use crate::air::{
    Air, CrestState, Drain, Filling, LeftIn, Pocket, ShutFill, SiphonAir, Start, Sweep, Vent,
};
use crate::report::words::{
    Say, device_word, relation_word, start_word, vent_fault, vent_why_word,
};
use serde_json::{Value, json};

/// The block `start_up`.
pub fn start_up(air: &Air) -> Value {
    let one = |s: &Start, vents: &[f64]| {
        json!({
            "verdict": start_word(s.verdict),
            "margin_worst_m": s.margin_worst_m,
            "margin_compressed_m": s.margin_compressed_m,
            "margin_sd_m": s.margin_sd_m,
            "probability_starts": s.probability_starts,
            "probability_starts_compressed": s.probability_compressed,
            "vents_needed": vents,
            "crests": s.crests.iter().map(crest).collect::<Vec<_>>(),
            "decided_by": s.decided_by.iter().map(|d| json!({"from_station_m": d.from_m, "to_station_m": d.to_m, "head_m": d.head_m, "head_sd_m": d.head_sd_m, "certainty": d.share})).collect::<Vec<_>>(),
        })
    };
    let mut block = one(&air.start, &air.cure.stations_m);
    if let Value::Object(map) = &mut block {
        map.insert("margin_with_vents_m".to_owned(), json!(air.cure.margin_m));
        map.insert(
            "margin_wanted_m".to_owned(),
            json!(air.cure.wanted_margin_m),
        );
        map.insert(
            "probability_with_vents".to_owned(),
            json!(air.cure.probability),
        );
        map.insert("vents_enough".to_owned(), json!(air.cure.enough));
        map.insert("starts_with_vents".to_owned(), json!(air.cure.starts));
        map.insert(
            "crests_to_choose_from".to_owned(),
            json!(air.cure.candidates),
        );
        map.insert("all_sets_tried".to_owned(), json!(air.cure.all_sets));
        map.insert(
            "unattended".to_owned(),
            one(&air.unattended, &air.cure.unattended_m),
        );
    }
    block
}

fn crest(c: &CrestState) -> Value {
    json!({
        "low_station_m": c.low_station_m,
        "station_m": c.station_m,
        "next_low_station_m": c.next_low_station_m,
        "vented": c.vented,
        "primed": c.primed,
        "eats_m": c.sealed_m,
        "eats_compressed_m": c.squeezed_m,
        "volume_m3": c.sealed_m3,
        "volume_compressed_m3": c.squeezed_m3,
        "needs_worst_m": c.needs_worst_m,
        "needs_compressed_m": c.needs_squeezed_m,
    })
}

/// The block `air`.
pub fn air(air: &Air, marked: &Marked<'_>, say: Say) -> Value {
    json!({
        "level_m": air.level_m,
        "air_head_m": air.air_head_m,
        "pockets": air.pockets.iter().map(|p| pocket(p, marked)).collect::<Vec<_>>(),
        "left_in": air.left_in.iter().map(left_in).collect::<Vec<_>>(),
        "shut_fill": shut_fill(&air.shut_fill),
        "shut_fill_alone": shut_fill(&air.shut_fill_alone),
        "siphon": air.siphon.as_ref().map(|s| siphon(s, marked)),
        "vents": air.vents.iter().map(|v| vent(v, marked, say)).collect::<Vec<_>>(),
        "drains": air.drains.iter().map(|d| drain(d, marked)).collect::<Vec<_>>(),
        "filling": filling(&air.filling),
    })
}

fn pocket(p: &Pocket, marked: &Marked<'_>) -> Value {
    let ids = |stands: &[usize]| -> Vec<String> {
        stands.iter().filter_map(|&i| marked.standing(i)).collect()
    };
    json!({
        "why": p.why.word(),
        "station_m": p.station_m,
        "from_station_m": p.from_m,
        "to_station_m": p.to_m,
        "certainty": p.certainty,
        "climb": p.climb,
        "seals": p.seals,
        "volume_m3": p.at_rest.volume_m3,
        "height_m": p.at_rest.height_m,
        "volume_compressed_m3": p.compressed.volume_m3,
        "height_compressed_m": p.compressed.height_m,
        "vented_by": ids(&p.vented_by),
        "vented_by_hand": ids(&p.by_hand),
        "sweeping": p.sweeps.iter().map(sweep).collect::<Vec<_>>(),
        "from_memory": p.from_memory,
    })
}

fn sweep(s: &Sweep) -> Value {
    let (from, to) = s.relation.tested_rad();
    json!({
        "case": s.case.to_string(),
        "relation": relation_word(s.relation),
        "velocity_m_per_s": s.speed_m_per_s,
        "critical_m_per_s": s.critical_m_per_s,
        "faster": s.speed_m_per_s > s.critical_m_per_s,
        "slope_deg": s.slope_rad.to_degrees(),
        "tested_from_deg": from.to_degrees(),
        "tested_to_deg": to.to_degrees(),
        "beyond_tests": s.beyond_tests,
        "from_memory": s.from_memory,
    })
}

fn left_in(l: &LeftIn) -> Value {
    json!({
        "case": l.case.to_string(),
        "head_compressed_m": l.head_compressed_m,
        "head_full_m": l.head_full_m,
        "flow_compressed_m3_per_s": l.flow_compressed_m3_per_s,
        "flow_full_m3_per_s": l.flow_full_m3_per_s,
        "power_share_compressed": l.power_share_compressed,
        "power_share_full": l.power_share_full,
        "runs_compressed": l.flow_compressed_m3_per_s.is_some(),
        "runs_full": l.flow_full_m3_per_s.is_some(),
        "pockets": l.pockets.iter().map(|p| json!({"station_m": p.station_m, "volume_m3": p.held.volume_m3, "height_m": p.held.height_m})).collect::<Vec<_>>(),
    })
}

fn shut_fill(s: &ShutFill) -> Value {
    json!({
        "margin_m": s.margin_m,
        "gauge_low_m": s.gauge_low_m,
        "pockets": s.pockets.iter().map(|p| json!({
            "station_m": p.station_m, "last_leg": p.last_leg, "fall_m": p.fall_m, "volume_m3": p.held.volume_m3, "height_m": p.held.height_m, "pressure_pa": p.pressure_pa,
        })).collect::<Vec<_>>(),
    })
}

fn siphon(s: &SiphonAir, marked: &Marked<'_>) -> Value {
    json!({
        "station_m": s.station_m,
        "lift_m": s.lift_m,
        "boils_at_m": s.boils_at_m,
        "works_to_m": s.works_to_m,
        "holds": s.holds(),
        "margin_primed_m": s.margin_primed_m,
        "broken_by": s.broken_by.and_then(|i| marked.standing(i)),
    })
}

fn vent(v: &Vent, marked: &Marked<'_>, say: Say) -> Value {
    json!({
        "mark": marked.vent(v),
        "stands": v.stands.is_some(),
        "station_m": v.station_m,
        "tolerance_m": v.tolerance_m,
        "why": vent_why_word(v.why),
        "why_code": vent_why_code(v.why),
        "device": device_word(v.device),
        "bore_m": v.bore_m,
        "top_m": v.top_m,
        "isolating_cock": v.isolating_cock,
        "inhales_in": v.inhales.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "air_out_m3_per_s": v.out.map(|p| p.flow_m3_per_s),
        "air_out_bore_m": v.out.map(|p| p.bore_m),
        "air_in_m3_per_s": v.inward.map(|p| p.flow_m3_per_s),
        "air_in_bore_m": v.inward.map(|p| p.bore_m),
        "vacuum_pa": v.inward.map(|p| p.across_pa),
        "by_hand": v.by_hand,
        "faults": v.faults.iter().map(|f| vent_fault(f, say)).collect::<Vec<_>>(),
        "from_memory": v.from_memory,
    })
}

fn drain(d: &Drain, marked: &Marked<'_>) -> Value {
    json!({
        "mark": marked.drain(d),
        "stands": d.stands.is_some(),
        "station_m": d.station_m,
        "certainty": d.certainty,
        "bore_m": d.bore_m,
        "silt_bore_m": d.silt_bore_m,
        "emptying_s": d.emptying_s,
        "first_flow_m3_per_s": d.first_flow_m3_per_s,
        "left_standing_m3": d.left_standing_m3,
        "left_length_m": d.left_length_m,
        "frost": d.frost,
        "from_memory": d.from_memory,
    })
}

fn filling(f: &Filling) -> Value {
    json!({
        "speed_m_per_s": f.speed_m_per_s,
        "flow_m3_per_s": f.flow_m3_per_s,
        "volume_m3": f.volume_m3,
        "time_s": f.time_s,
        "slam_m": f.slam_m,
    })
}
