//! Holds results against docs/result.schema.json and its likes: the words of the schema language that the files use, no more. They are drawn from the types that are written (src/json/schema.rs).

use serde_json::Value;
use std::path::Path;

/// The schema of the results of a check, a survey and a comparison, and the one of a gauge book.
const OF_RESULT: &str = "docs/result.schema.json";
const OF_BOOK: &str = "docs/gauge-book.schema.json";
const OF_SIZES: &str = "docs/size.schema.json";

fn schema(file: &str) -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// Everything in a result that the schema does not allow.
pub fn faults(result: &Value) -> Vec<String> {
    faults_by(result, OF_RESULT)
}

/// The same for what `log` writes.
pub fn faults_of_book(result: &Value) -> Vec<String> {
    faults_by(result, OF_BOOK)
}

/// The same for what `size` writes.
pub fn faults_of_sizes(result: &Value) -> Vec<String> {
    faults_by(result, OF_SIZES)
}

fn faults_by(result: &Value, file: &str) -> Vec<String> {
    let root = schema(file);
    let mut out = Vec::new();
    hold(result, &root, &root, "$", &mut out);
    out
}

fn is_of(value: &Value, kind: &str) -> bool {
    match kind {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "number" => value.is_number(),
        "integer" => value.is_u64() || value.is_i64(),
        "boolean" => value.is_boolean(),
        other => panic!("the schema uses a type that this test does not know: {other}"),
    }
}

fn hold(value: &Value, schema: &Value, root: &Value, at: &str, out: &mut Vec<String>) {
    if schema.get("$ref").is_some() {
        return hold(value, root, root, at, out);
    }
    if let Some(only) = schema.get("const")
        && value != only
    {
        out.push(format!("{at}: {value} for {only}"));
    }
    if let Some(list) = schema.get("enum").and_then(Value::as_array)
        && !list.contains(value)
    {
        out.push(format!("{at}: {value} is none of {list:?}"));
    }
    match schema.get("type") {
        Some(Value::String(kind)) if !is_of(value, kind) => {
            out.push(format!("{at}: {value} is no {kind}"))
        }
        Some(Value::Array(kinds)) if !kinds.iter().any(|k| is_of(value, k.as_str().unwrap())) => {
            out.push(format!("{at}: {value} is of none of {kinds:?}"));
        }
        _ => {}
    }
    if let Some(map) = value.as_object() {
        let known = schema.get("properties").and_then(Value::as_object);
        for key in schema
            .get("required")
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
        {
            if !map.contains_key(key.as_str().unwrap()) {
                out.push(format!("{at}: lacks {key}"));
            }
        }
        for (key, inner) in map {
            match known.and_then(|k| k.get(key)) {
                Some(schema) => hold(inner, schema, root, &format!("{at}.{key}"), out),
                None if schema.get("additionalProperties") == Some(&Value::Bool(false)) => {
                    out.push(format!("{at}: {key} is not in the schema"))
                }
                None => {}
            }
        }
    }
    if let (Some(list), Some(schema)) = (value.as_array(), schema.get("items")) {
        for (i, inner) in list.iter().enumerate() {
            hold(inner, schema, root, &format!("{at}[{i}]"), out);
        }
    }
}

/// No figure may be missing as null, and none may be a negative zero: the one writer sees to it.
pub fn ill_figures(value: &Value, at: &str, out: &mut Vec<String>) {
    match value {
        Value::Null => out.push(format!("{at} is null")),
        Value::Number(n) if n.as_f64().is_some_and(|f| f == 0.0 && f.is_sign_negative()) => {
            out.push(format!("{at} is -0"))
        }
        Value::Array(list) => list
            .iter()
            .enumerate()
            .for_each(|(i, v)| ill_figures(v, &format!("{at}[{i}]"), out)),
        Value::Object(map) => map
            .iter()
            .for_each(|(k, v)| ill_figures(v, &format!("{at}.{k}"), out)),
        _ => {}
    }
}

#[test]
fn the_test_itself_finds_faults() {
    assert!(!faults(&serde_json::json!({"format": 1})).is_empty());
}

/// What a key ends in, and the unit that its description names.
const UNITS: [(&str, &str); 14] = [
    ("_n_per_m", "N/m"),
    ("_kg_per_m", "kg/m"),
    ("_m3_per_s", "m3/s"),
    ("_m_per_s", "m/s"),
    ("_m3", "m3"),
    ("_m2", "m2"),
    ("_pa", "Pa"),
    ("_kg", "kg"),
    ("_deg", "degrees"),
    ("_w", "W"),
    ("_n", "N"),
    ("_c", "degrees Celsius"),
    ("_s", "s"),
    ("_m", "m"),
];

fn undescribed(schema: &Value, at: &str, out: &mut Vec<String>) {
    for (key, inner) in schema
        .get("properties")
        .and_then(Value::as_object)
        .into_iter()
        .flatten()
    {
        let at = format!("{at}.{key}");
        let says = inner["description"].as_str().unwrap_or_default();
        let unit = UNITS.iter().find(|(end, _)| key.ends_with(end));
        let named = unit.is_none_or(|(_, unit)| {
            let mut words = says.split([' ', ',', '.', ':', ';']);
            words.any(|w| w == *unit) || says.contains(unit) && unit.contains(' ')
        });
        if says.split_whitespace().count() < 2 || !named {
            out.push(format!("{at}: \"{says}\""));
        }
        undescribed(inner, &at, out);
    }
    if let Some(items) = schema.get("items") {
        undescribed(items, &format!("{at}[]"), out);
    }
}

#[test]
fn every_entry_is_described_with_its_unit() {
    let mut out = Vec::new();
    for file in [OF_RESULT, OF_BOOK, OF_SIZES] {
        undescribed(&schema(file), "$", &mut out);
    }
    assert!(out.is_empty(), "{}", out.join("\n"));
}

/// Keys that other programs compute with, by the block that has them: they may get neighbours, and none of them may go.
const FIXED: [(&str, &str); 23] = [
    (
        "",
        "format program title units not_computed verdict survey route climbs lows flats cases start_up surges strength marks gauges moved before regrade as_advised findings",
    ),
    ("program", "name version"),
    ("not_computed", "what why"),
    (
        "survey",
        "method points_read points_used passes reversed misclosure_m misclosure_allowed_m bore_m climb_threshold_m remarks",
    ),
    (
        "route",
        "length_m length_sd_m horizontal_m drop_m drop_sd_m climb_probability points bends",
    ),
    (
        "route.points",
        "station_m horizontal_m elevation_m ground_m sd_m lat lon peg_station_m",
    ),
    (
        "climbs",
        "low_station_m crest_station_m end_station_m rise_m rise_sd_m probability verdict crest_from_m crest_to_m pocket_m3 vented_by",
    ),
    (
        "cases",
        "name flow_m3_per_s flow_sd_m3_per_s gross_head_m gross_head_sd_m net_head_m net_head_sd_m friction_m local_m air_m fall_m velocity_max_m_per_s pressure_turbine_pa water_power_w jet_power_w electrical_w electrical_low_w electrical_high_w limited_by limited_station_m points",
    ),
    ("cases.points", "station_m grade_line_m pressure_pa"),
    (
        "start_up",
        "verdict margin_worst_m margin_compressed_m margin_sd_m probability_starts vents_needed unattended",
    ),
    (
        "start_up.unattended",
        "verdict margin_worst_m margin_compressed_m margin_sd_m probability_starts vents_needed",
    ),
    (
        "surges",
        "movement valid wave_speeds_m_per_s critical_time_s shortest_safe_s head_max_m head_min_m vapour vapour_from_m vapour_to_m vapour_at_s points law",
    ),
    (
        "surges.points",
        "station_m head_max_m head_min_m pressure_max_pa pressure_min_pa",
    ),
    (
        "strength",
        "from_station_m to_station_m spec rating_pa allowed_pa worst_station_m cause weakest static_pa static_high_pa working_pa surge_routine_pa surge_rare_pa use use_high collapse_pa outside_use lightest_spec",
    ),
    (
        "marks",
        "id kind state station_m tolerance_m lat lon device bore_m top_m force_n volume_m3 why",
    ),
    ("gauges", "explanations next_reading"),
    ("gauges.explanations", "cause head_m sd_m fit"),
    (
        "moved",
        "from_station_m to_station_m up_m up_sd_m side_m side_sd_m along_m along_sd_m verdict",
    ),
    ("regrade", "kind stakes cost"),
    ("regrade.stakes", "station_m now_m wanted_m change_m"),
    ("as_advised", "verdict cases start_up"),
    (
        "findings",
        "id kind severity from_station_m to_station_m certainty text do basis from_memory code figures since",
    ),
    ("findings.figures", "rise_m use_high flow_m3_per_s"),
];

/// The words of a block's verdict and the like that other programs compare with.
const FIXED_WORDS: [(&str, &str); 11] = [
    (
        "verdict",
        "runs, fix, stop, not settled, falls, climbs, cannot tell",
    ),
    ("units", "metric, us"),
    ("survey.method", "gpx, level, angle, points, gauge, mixed"),
    ("climbs.verdict", "climbs, cannot tell"),
    ("cases.limited_by", "crest, boiling, stream"),
    ("start_up.verdict", "starts, may start, locks, cannot tell"),
    ("marks.state", "stands, wanted"),
    ("moved.verdict", "moved, cannot tell"),
    ("regrade.kind", "mixed, dig, prop"),
    ("findings.severity", "stop, fix, watch"),
    ("findings.since", "before, new"),
];

#[test]
fn what_other_programs_compute_with_is_in_the_schema() {
    let root = schema(OF_RESULT);
    let part = |path: &str| {
        let steps = path.split('.').filter(|s| !s.is_empty());
        steps.fold(&root, |part, step| {
            let inner = part.get("items").unwrap_or(part);
            &inner["properties"][step]
        })
    };
    for (block, keys) in FIXED {
        let of = part(block);
        let known = &of.get("items").unwrap_or(of)["properties"];
        for key in keys.split_whitespace() {
            assert!(known.get(key).is_some(), "{block}: {key} is gone");
        }
    }
    for (key, words) in FIXED_WORDS {
        for word in words.split(", ") {
            let known = part(key)["enum"].as_array().unwrap();
            assert!(known.contains(&word.into()), "{key}: {word} is gone");
        }
    }
}
