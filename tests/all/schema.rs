//! Holds results against docs/result.schema.json: the words of the schema language that the file uses, no more.

use serde_json::Value;
use std::path::Path;

/// The schema of the results of a check, a survey and a comparison, and the one of a gauge book.
const OF_RESULT: &str = "docs/result.schema.json";
const OF_BOOK: &str = "docs/gauge-book.schema.json";

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
            let mut words = says.split([' ', ',', '.']);
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
    for file in [OF_RESULT, OF_BOOK] {
        undescribed(&schema(file), "$", &mut out);
    }
    assert!(out.is_empty(), "{}", out.join("\n"));
}
