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
