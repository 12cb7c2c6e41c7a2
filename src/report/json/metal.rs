//! What attacks metal.

use crate::metal::MetalPair;
use crate::report::words::soil_class_word;
use crate::study::Study;
use serde_json::{Map, Value, json};

/// The block `metals`.
pub fn metals(study: &Study) -> Option<Value> {
    let c = study.metal.as_ref()?;
    let mut out = Map::new();
    out.insert("pairs".into(), c.pairs.iter().map(pair).collect());
    if let Some(class) = c.soil {
        out.insert("soil".into(), json!(soil_class_word(class)));
        out.insert("soil_attacks".into(), json!(c.soil_attacks));
    }
    if let Some(index) = c.index {
        out.insert("langelier".into(), json!(index));
        out.insert("water_attacks".into(), json!(c.water_attacks));
    }
    if let Some(e) = c.earth {
        let mut earth = Map::new();
        earth.insert("metal".into(), json!(e.metal.word()));
        earth.insert("station_m".into(), json!(e.station_m));
        earth.insert("away_m".into(), json!(e.away_m));
        earth.insert("bonded".into(), json!(e.bonded));
        if let Some(m) = e.reaches_m {
            earth.insert("reaches_m".into(), json!(m));
        }
        out.insert("earth".into(), Value::Object(earth));
    }
    Some(Value::Object(out))
}

fn pair(p: &MetalPair) -> Value {
    json!({"station_m": p.station_m, "part": p.part, "metal": p.metal.word(), "other_metal": p.other.word(), "corrodes": p.eaten.word(), "apart_v": p.apart_v})
}
