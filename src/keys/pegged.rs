//! Stations of a result on the user's pegs, beside those along the pipe.

use crate::route::Reckoning;
use serde_json::{Map, Value};

/// Keys of result.json that hold stations and do not end in `station_m`.
pub(super) const PLACES: [&str; 14] = [
    "crest_from_m",
    "crest_to_m",
    "level_from_m",
    "level_to_m",
    "vapour_from_m",
    "vapour_to_m",
    "covers_from_m",
    "covers_to_m",
    "joint_m",
    "vents_needed",
    "stations_m",
    "crests_m",
    "loops_m",
    "anchors_m",
];

pub(super) fn is_place(key: &str) -> bool {
    key.ends_with("station_m") || PLACES.contains(&key)
}

/// A result with what every place in it is on the pegs, under the same key with `peg_` before it; as it is where there are no pegs.
pub fn on_pegs(result: Value, pegs: &Reckoning) -> Value {
    if pegs.has_pegs() {
        beside(result, pegs)
    } else {
        result
    }
}

pub(super) fn beside(value: Value, pegs: &Reckoning) -> Value {
    match value {
        Value::Array(list) => list.into_iter().map(|v| beside(v, pegs)).collect(),
        Value::Object(map) => {
            let mut out = Map::with_capacity(map.len());
            for (key, value) in map {
                let told = is_place(&key).then(|| turned(&value, pegs)).flatten();
                let beside_it = told.map(|told| (format!("peg_{key}"), told));
                out.insert(key, beside(value, pegs));
                out.extend(beside_it);
            }
            Value::Object(out)
        }
        other => other,
    }
}

/// A station, or a list of them, on the pegs; `None` for anything else.
pub(super) fn turned(value: &Value, pegs: &Reckoning) -> Option<Value> {
    match value {
        Value::Array(list) => list.iter().map(|v| turned(v, pegs)).collect(),
        Value::Number(n) => Some(Value::from(pegs.on_pegs(n.as_f64()?).0)),
        _ => None,
    }
}
