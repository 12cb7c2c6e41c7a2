//! What keeps out what the water carries.

use crate::solids::Passage;
use crate::study::Study;
use serde_json::{Map, Value, json};

/// The block `screen`.
pub fn screen(study: &Study) -> Option<Value> {
    let passes = study.passes.as_ref()?;
    let mut out = Map::new();
    let mut put = |key: &str, value: Value| {
        if !value.is_null() {
            out.insert(key.to_owned(), value);
        }
    };
    put("opening_m", json!(passes.opening_m));
    put("opening_wanted_m", json!(passes.wanted_m));
    put("jet", passes.jet.as_ref().map_or(Value::Null, passage));
    put(
        "clearance",
        passes.clearance.as_ref().map_or(Value::Null, passage),
    );
    if let Some(flow) = &study.screen {
        put("case", json!(flow.case.to_string()));
        put("flow_m3_per_s", json!(flow.flow_m3_per_s));
        put("velocity_m_per_s", json!(flow.before_m_per_s));
        put("velocity_between_m_per_s", json!(flow.between_m_per_s));
        put("open_share", json!(flow.open_share));
        put("clean_m", json!(flow.clean_m));
        put("half_blocked_m", json!(flow.half_m));
        put("half_blocked_cover_m", json!(flow.half_cover_m));
        put("outside_its_range", json!(flow.outside));
        put("area_wanted_m2", json!(flow.wanted_m2));
    }
    Some(Value::Object(out))
}

fn passage(p: &Passage) -> Value {
    json!({"width_m": p.width_m, "share": p.share, "blocks": p.blocks(), "bridges": p.bridges()})
}

/// The block `grit`.
pub fn grit(study: &Study) -> Option<Value> {
    let c = study.grit.as_ref()?;
    Some(json!({
        "case": c.case.to_string(),
        "flow_m3_per_s": c.flow_m3_per_s,
        "net_head_m": c.net_head_m,
        "grain_mm": 1e3 * c.grain_m,
        "settles_m_per_s": c.asked.settles_m_per_s,
        "area_wanted_m2": c.asked.area_m2,
        "fastest_m_per_s": c.asked.fastest_m_per_s,
        "section_wanted_m2": c.asked.section_m2,
        "basin": c.settled.map(|s| json!({
            "share": s.share,
            "least_grain_mm": 1e3 * s.least_grain_m,
            "velocity_m_per_s": s.through_m_per_s,
            "fills_s": s.fills_s,
            "flush_pa": s.flush_pa,
            "flushed": s.is_flushed(),
            "flush_wanted_m3_per_s": s.flush_wanted_m3_per_s,
        })),
        "reaches_mm": 1e3 * c.reaches_m,
        "bears_mm": 1e3 * c.bears_m,
        "wear": c.wear.as_ref().map(|w| json!({
            "jet": w.jet,
            "nozzle_diameter_m": w.nozzle_diameter_m,
            "speed_m_per_s": w.speed_m_per_s,
            "worn_after_s": w.worn_after_s,
            "within_a_year": w.within_a_year(),
        })),
    }))
}
