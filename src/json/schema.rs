//! docs/result.schema.json and its likes, drawn from the types that are written: what they say is what the program writes.

use super::gauge_book::BookResultJson;
use super::size::SizesJson;
use super::whole::ResultJson;
use crate::report::pegged::is_place;
use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde_json::{Map, Value, json};

/// What a key means where its block says nothing else.
const KEYS: &[(&str, &str)] = &[
    ("allowed_pa", "Allowable pressure, Pa."),
    ("anchor_n", "Design force of each anchor, N."),
    ("angle_deg", "Angle of the bend in space, degrees."),
    ("angle_sd_deg", "Standard deviation of the angle, degrees."),
    (
        "at",
        "Place: file, line and column, or the part of the pipe.",
    ),
    ("base_pa", "Pressure below the base, Pa."),
    (
        "before",
        "As before the storm; at the top level, the values of the earlier survey.",
    ),
    ("bends", "Bends of the route."),
    ("bore_m", "Inside diameter, m."),
    ("by", "What causes or limits it."),
    ("case", "Operating condition."),
    ("cases", "Operating conditions."),
    ("cause", "Cause, a fixed word or the name of a condition."),
    ("cause_name", "Name of the cause."),
    ("certainty", "Probability that it is so, 0 to 1."),
    (
        "climbs",
        "Rising sections (the pipe rises in the direction of flow).",
    ),
    ("code", "Stable code of the kind, for programs."),
    (
        "collapse_pa",
        "Collapse pressure, without a safety factor, Pa.",
    ),
    ("cover_m", "Submergence of the crown of the pipe inlet, m."),
    ("crest_station_m", "Station of the high point, m."),
    ("device", "Device of a vent, as in the site file."),
    ("do", "What to do."),
    (
        "elevation_m",
        "Elevation of the pipe centre, in the datum of the survey, m.",
    ),
    (
        "fall_m",
        "Head loss in part-full pipe; for an air pocket, its fall, m.",
    ),
    ("flow_m3_per_s", "Flow, m3/s."),
    ("force_n", "Force, N."),
    (
        "format",
        "Version of this format. It rises when a key changes its meaning or is removed.",
    ),
    (
        "forward_n",
        "Force along the route, towards the turbine positive, N.",
    ),
    ("friction", "Coefficient of friction."),
    ("friction_m", "Head loss by pipe friction, m."),
    (
        "from_memory",
        "True if a value behind it is from memory or from a secondary source.",
    ),
    ("from_station_m", "Station where the section begins, m."),
    ("ground_m", "Elevation of the surveyed ground, m."),
    ("head_m", "Head or head loss, m."),
    (
        "head_max_m",
        "Maximum head, an elevation in the datum of the survey, m.",
    ),
    (
        "head_min_m",
        "Minimum head, an elevation in the datum of the survey, m.",
    ),
    (
        "height_m",
        "Height: of the gauge above the pipe, or of an air pocket, m.",
    ),
    ("high_m", "Height of the block, m."),
    (
        "holds",
        "True if it is sufficient after recalculation; for a siphon, true if it works.",
    ),
    (
        "horizontal_m",
        "Horizontal distance from the pipe inlet, m.",
    ),
    ("id", "Identifier in the texts and drawings."),
    ("joint", "Kind of joint, as in the site file."),
    (
        "joint_end_n",
        "Pressure force on the pipe end in the joint, N.",
    ),
    (
        "joint_friction_n",
        "Friction force of the expansion joint, N.",
    ),
    ("joint_m", "Station of the expansion joint, m."),
    ("joints", "Joints of the pipe."),
    ("lat", "Latitude, WGS 84, degrees."),
    ("left_m", "Remaining length, m."),
    ("length_m", "Length along the pipe, m."),
    ("level_m", "Elevation of the water level at the intake, m."),
    ("lift_empty_n_per_m", "Uplift of the empty pipe, N/m."),
    ("lift_full_n_per_m", "Uplift of the full pipe, N/m."),
    ("lift_m", "High point above the low water level, m."),
    (
        "limited_station_m",
        "Station of the point that limits the flow, m.",
    ),
    ("list", "List in order from the intake."),
    ("lon", "Longitude, WGS 84, degrees."),
    ("long_m", "Length of the block along the pipe, m."),
    ("low_station_m", "Station of the low point, m."),
    ("lows", "Low points."),
    ("mark", "Identifier or kind of the device."),
    ("mass_kg", "Mass, kg."),
    ("moves_m", "Free thermal movement, m."),
    ("name", "Name, as in the site file or of the program."),
    (
        "net_head_m",
        "Net head: total head at the nozzle, above its axis, m.",
    ),
    ("nozzle_diameter_m", "Nozzle diameter, m."),
    (
        "off_m",
        "Deviation: reading less expected value, or distance from the route, m.",
    ),
    (
        "outside_use",
        "Vacuum divided by allowable external pressure.",
    ),
    ("overturning", "Safety against overturning."),
    ("parting", "Operations with column separation."),
    ("pieces", "Lengths of pipe, or their number."),
    ("pockets", "Air pockets."),
    ("points", "Values at the stations of the common grid."),
    ("pressure_pa", "Pressure above atmospheric pressure, Pa."),
    (
        "pressure_turbine_pa",
        "Pressure at the turbine, on the pipe side of its valve, Pa.",
    ),
    ("program", "The program that wrote the file."),
    ("pull_n", "Total pull, N."),
    ("radius_m", "Available bend radius, m."),
    ("rating_pa", "Rated pressure, Pa."),
    ("refused", "True if it is not accepted."),
    ("restrained", "True if the joints carry the force."),
    ("safety", "Safety factor."),
    ("sd_m", "Standard deviation, m."),
    ("siphon", "Siphon at the intake."),
    ("sliding", "Safety against sliding."),
    ("slope_deg", "Slope below the horizontal, degrees."),
    ("soil", "Soil, as in the site file."),
    ("spacing_m", "Required spacing, m."),
    ("spec", "Designation of the pipe."),
    (
        "standard",
        "Standard of the pipe; for an operation, true if it is a standard operation of the program.",
    ),
    ("standing", "Existing anchors or straps."),
    ("stands", "True if it exists."),
    ("start_up", "Restart after draining and slow filling."),
    ("state", "Operating condition."),
    ("station_m", "Distance along the pipe from its inlet, m."),
    (
        "strength",
        "Pressure and allowable pressure, by section of one pipe.",
    ),
    ("surge_pa", "Highest surge pressure, Pa."),
    ("table", "Table of values by its document."),
    ("text", "The text, in the user's units."),
    ("title", "Title of the site file."),
    ("to_lay", "True if the pipe is not laid yet."),
    ("to_station_m", "Station where the section ends, m."),
    ("tolerance_m", "Tolerance of the station, m."),
    ("top_m", "Top of a standpipe above the pipe, m."),
    ("traffic", "Traffic load on buried pipe."),
    ("up_n", "Force upwards, N."),
    (
        "use",
        "Utilization at the mean head: pressure divided by allowable pressure.",
    ),
    (
        "use_high",
        "Utilization at the head plus two standard deviations: pressure divided by allowable pressure.",
    ),
    ("velocity_m_per_s", "Mean velocity, m/s."),
    ("vented", "True if a vent lets air in or out there."),
    ("vented_by", "Device that releases the air."),
    ("vents", "Vents, existing and required."),
    ("verdict", "Verdict, a fixed word."),
    ("volume_compressed_m3", "Volume of the compressed air, m3."),
    ("volume_m3", "Volume, m3."),
    ("wanted_m", "Required value, m."),
    ("water_power_w", "Hydraulic power (rho g Q net head), W."),
    (
        "weakest",
        "Weakest part: pipe, joint, or the name of a fitting; for a pipe without rating, the weakest possible grade.",
    ),
    ("what", "What it is."),
    ("why", "Reason, in words."),
    ("why_code", "Stable code of the reason, for programs."),
    ("wide_m", "Width of the block, m."),
    ("working_limit_m", "Lowest allowable pressure head, m."),
];

/// Units that a key has otherwise than its field: the key's ending, and how a comment names the two.
const UNITS: [(&str, &str, &str); 3] = [
    ("_deg", ", rad", ", degrees"),
    ("_mm", ", m", ", mm"),
    ("_c", ", C", ", degrees Celsius"),
];

/// The schema of a type: what may be absent is what the type may be without, and every place has its twin on the pegs.
fn drawn<T: JsonSchema>(title: &str) -> Value {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    let settings = settings.with(|s| s.inline_subschemas = true);
    let of = settings.into_generator().into_root_schema_for::<T>();
    let Value::Object(body) = tidied(of.to_value()) else {
        return Value::Null;
    };
    let mut out = Map::new();
    out.insert(
        "$schema".into(),
        json!("https://json-schema.org/draft/2020-12/schema"),
    );
    out.insert("title".into(), json!(title));
    out.extend(body.into_iter().filter(|(k, _)| k != "$schema"));
    if let Some(Value::String(about)) = out.get_mut("description") {
        *about = about.replace('\n', " ");
    }
    Value::Object(out)
}

/// A part without what the language of the types brings along: names of types, widths of numbers, nothing as a value.
fn tidied(part: Value) -> Value {
    match part {
        Value::Array(list) => list.into_iter().map(tidied).collect(),
        Value::Object(map) => {
            let keys = map.get("properties").and_then(Value::as_object);
            let absent: Vec<Value> = (keys.into_iter().flatten())
                .filter(|(_, part)| may_be_absent(part))
                .map(|(key, _)| json!(key))
                .collect();
            let mut map: Map<String, Value> = map
                .into_iter()
                .filter(|(k, _)| {
                    !matches!(
                        k.as_str(),
                        "title" | "format" | "minimum" | "maximum" | "default"
                    )
                })
                .map(|(k, v)| {
                    (
                        k.clone(),
                        if k == "properties" {
                            properties(v)
                        } else {
                            tidied(v)
                        },
                    )
                })
                .collect();
            if let Some(Value::Array(required)) = map.get_mut("required") {
                required.retain(|key| !absent.contains(key));
            }
            map.retain(|k, v| k != "required" || v.as_array().is_some_and(|all| !all.is_empty()));
            if let Some(Value::Array(kinds)) = map.get("type") {
                let kind = kinds.iter().find(|k| **k != json!("null")).cloned();
                map.insert("type".into(), kind.unwrap_or_default());
            }
            if let Some(Value::Array(words)) = map.get_mut("enum") {
                words.retain(|w| !w.is_null());
            }
            if let Some(Value::Array(ways)) = map.shift_remove("anyOf") {
                ways.into_iter().for_each(|way| joined(&mut map, way));
            }
            if let Some(Value::Array(ways)) = map.shift_remove("oneOf") {
                ways.into_iter().for_each(|way| joined(&mut map, way));
            }
            if map.contains_key("properties") {
                map.insert("additionalProperties".into(), json!(false));
            }
            Value::Object(map)
        }
        other => other,
    }
}

/// Whether the writer leaves a key away where there is nothing to say: it drops what would be null.
fn may_be_absent(part: &Value) -> bool {
    let is_null = |of: &Value| of.is_null() || *of == "null" || of["type"] == "null";
    let ways = ["type", "anyOf", "enum"].map(|key| part[key].as_array());
    let mut ways = ways.into_iter().flatten().flatten();
    ways.any(is_null) || part.get("$ref").is_some()
}

/// One of several ways in which a part may be: its keys stand beside those of the others, and none is required that not all of them have.
fn joined(all: &mut Map<String, Value>, way: Value) {
    let Value::Object(mut way) = way else { return };
    if way.get("type") == Some(&json!("null")) || way.is_empty() {
        return;
    }
    way.shift_remove("description");
    let first = !all.contains_key("type") && !all.contains_key("enum");
    let required = way.shift_remove("required");
    match (all.get_mut("required"), &required) {
        (Some(Value::Array(kept)), Some(Value::Array(new))) => kept.retain(|k| new.contains(k)),
        (None, Some(new)) if first => drop(all.insert("required".into(), new.clone())),
        _ => drop(all.shift_remove("required")),
    }
    let keys = way.shift_remove("properties");
    if all.contains_key("enum") {
        let mut kept = Value::Object(std::mem::take(all));
        worded(&mut kept, &Value::Object(way));
        *all = kept.as_object().cloned().unwrap_or_default();
    } else {
        all.extend(way);
    }
    let Some(Value::Object(keys)) = keys else {
        return;
    };
    let known = all.entry("properties").or_insert_with(|| json!({}));
    if let Some(known) = known.as_object_mut() {
        for (key, part) in keys {
            match known.get_mut(&key) {
                Some(kept) => worded(kept, &part),
                None => drop(known.insert(key, part)),
            }
        }
    }
}

/// One key of several ways: the words of all of them.
fn worded(kept: &mut Value, other: &Value) {
    let words = |of: &Value| match (&of["const"], &of["enum"]) {
        (Value::Null, Value::Array(words)) => words.clone(),
        (Value::Null, _) => Vec::new(),
        (word, _) => vec![word.clone()],
    };
    let (mut all, new) = (words(kept), words(other));
    let free = all.is_empty() != new.is_empty();
    all.extend(new.into_iter().filter(|w| !words(kept).contains(w)));
    let Some(kept) = kept.as_object_mut() else {
        return;
    };
    if free {
        // one of them is any text
        kept.retain(|k, _| k != "enum" && k != "const");
        kept.insert("type".into(), json!("string"));
    } else if !all.is_empty() {
        kept.shift_remove("const");
        kept.insert("enum".into(), all.into());
    }
}

/// Keys with their descriptions, and beside each place the same on the pegs.
fn properties(keys: Value) -> Value {
    let Value::Object(keys) = keys else {
        return keys;
    };
    let mut out = Map::new();
    for (key, part) in keys {
        let mut part = tidied(part);
        let shared = KEYS.iter().find(|(k, _)| *k == key);
        if let (Some(part), Some((_, about))) = (part.as_object_mut(), shared) {
            part.entry("description").or_insert_with(|| json!(about));
        }
        if let Some(Value::String(about)) = part.get_mut("description") {
            *about = about.replace("`None`", "absent");
            // a comment names the unit of its field, the schema that of the key
            for (end, of_field, of_key) in UNITS {
                if key.ends_with(end) {
                    *about = about.replace(of_field, of_key);
                }
            }
        }
        let twin = is_place(&key).then(|| format!("peg_{key}"));
        let kind = part["type"].clone();
        out.insert(key, part);
        if let Some(twin) = twin.filter(|_| kind == "number" || kind == "array") {
            let about = "The same on the pegs of the survey, m.";
            let part = match kind == "array" {
                true => json!({"description": about, "type": "array", "items": {"type": "number"}}),
                false => json!({"description": about, "type": "number"}),
            };
            out.insert(twin, part);
        }
    }
    Value::Object(out)
}

#[test]
fn the_schemas_are_those_of_the_types() {
    let mut result = drawn::<ResultJson>("result.json of steadyfall");
    // a finding tells it as a case does, in the words of the report
    let limited = result["properties"]["cases"]["items"]["properties"]["limited"].clone();
    result["properties"]["findings"]["items"]["properties"]["figures"]["properties"]["limited"] =
        limited;
    let book = drawn::<BookResultJson>("result.json of steadyfall log");
    let sizes = drawn::<SizesJson>("result.json of steadyfall size");
    for (name, schema) in [("result", result), ("gauge-book", book), ("size", sizes)] {
        let path = format!("{}/docs/{name}.schema.json", env!("CARGO_MANIFEST_DIR"));
        let drawn = super::printed(&schema);
        if std::env::var_os("STEADYFALL_WRITE").is_some() {
            std::fs::write(&path, &drawn).unwrap();
        }
        let held = std::fs::read_to_string(&path).unwrap();
        assert!(
            held.replace("\r\n", "\n") == drawn,
            "docs/{name}.schema.json is stale: run `STEADYFALL_WRITE=1 cargo test --lib schema` and commit it"
        );
    }
}
