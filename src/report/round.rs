//! The digits that figures are written with where other programs read them.

use crate::numeric::math;
use crate::unit::Limit;
use serde_json::{Number, Value};

/// Decimals that a figure is written with, by the unit that ends its key; longer endings first.
const DECIMALS: &[(&str, i32)] = &[
    ("_m3_per_s", 9),
    ("_m_per_s", 4),
    ("_kg_per_m", 4),
    ("_m2", 8),
    ("_m3", 7),
    ("_pa", 0),
    ("_w", 2),
    ("_s", 4),
    ("_n", 1),
    ("_c", 2),
    ("_kg", 2),
    ("_rad", 6),
    ("_deg", 4),
    ("_m", 4),
];

/// Keys without a unit that still have a fixed number of decimals.
const PLAIN: &[(&str, i32)] = &[
    ("lat", 8),
    ("lon", 8),
    ("probability", 4),
    ("certainty", 4),
    ("probability_starts", 4),
    ("climb_probability", 4),
    ("use", 4),
    ("use_high", 4),
];

/// Rounds every figure of a result by its key, drops what is not finite (an absent key means "not computed") and turns -0 into 0.
///
/// The one place where result.json gets its digits, so that the same figures give the same bytes.
pub fn rounded(mut value: Value) -> Value {
    if !under(None, &mut value) {
        value = Value::Null;
    }
    value
}

/// Rounds in place; whether there is anything to keep.
fn under(key: Option<&str>, value: &mut Value) -> bool {
    match value {
        Value::Object(map) => map.retain(|k, v| under(Some(k), v)),
        Value::Array(list) => list.retain_mut(|v| under(key, v)),
        Value::Number(n) if n.is_f64() => {
            let kept = n.as_f64().and_then(|f| figure(f, key));
            return kept.map(|kept| *n = kept).is_some();
        }
        // A figure that was not finite arrives as null: it is left out, like everything that was not computed.
        Value::Null => return false,
        Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
    true
}

/// Limits: what is asked for at least is written rounded up, what is asked for at most rounded down, so that what is printed is enough.
const AT_LEAST: &[&str] = &[
    "force_n",
    "force_high_n",
    "tight_n",
    "bore_m",
    "bore_wanted_m",
    "top_m",
    "slack_m",
    "spills_by_m",
    "safe_s",
    "shortest_safe_s",
    "wanted_m",
    "wanted_cover_m",
    "wanted_m2",
    "area_wanted_m2",
    "section_wanted_m2",
    "wanted_m3_per_s",
    "flush_wanted_m3_per_s",
    "hold_n",
    "anchor_n",
    "strap_n",
    "tight_n",
    "force_high_n",
];
const AT_MOST: &[&str] = &["area_share", "opening_wanted_m"];

/// A value to the last digit of its key, on the safe side where it is a limit.
fn nearest(value: f64, scale: f64, key: Option<&str>) -> f64 {
    let is = |list: &[&str]| key.is_some_and(|k| list.contains(&k));
    let near = if is(AT_LEAST) {
        Limit::AtLeast.rounded(value, 1.0 / scale)
    } else if is(AT_MOST) {
        Limit::AtMost.rounded(value, 1.0 / scale)
    } else {
        value
    };
    (near * scale).round() / scale
}

fn decimals(key: Option<&str>) -> i32 {
    let Some(key) = key else { return 6 };
    if let Some((_, d)) = PLAIN.iter().find(|(k, _)| *k == key) {
        return *d;
    }
    let stem = key.strip_suffix("_sd").unwrap_or(key);
    DECIMALS
        .iter()
        .find(|(end, _)| stem.ends_with(end))
        .map_or(6, |(_, d)| *d)
}

fn figure(value: f64, key: Option<&str>) -> Option<Number> {
    let scale = math::powi(10_f64, decimals(key));
    let rounded = nearest(value, scale, key);
    let kept = if rounded.is_finite() { rounded } else { value };
    Number::from_f64(if kept == 0.0 { 0.0 } else { kept })
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn figures_are_rounded_by_the_unit_of_their_key() {
        let written = rounded(
            json!({"station_m": 12.345_678, "flow_m3_per_s": 0.007_025_634_12, "pressure_pa": 533_707.4, "zero_m": -0.000_001, "n": 3, "list_m": [1.000_04, f64::NAN]}),
        );
        assert_eq!(
            written.to_string(),
            r#"{"station_m":12.3457,"flow_m3_per_s":0.007025634,"pressure_pa":533707.0,"zero_m":0.0,"n":3,"list_m":[1.0]}"#
        );
    }

    #[test]
    fn a_limit_is_enough_as_it_is_written() {
        let written = rounded(
            json!({"force_n": 536.01, "top_m": 1.2, "safe_s": 6.000_000_000_1, "area_share": 0.679_999_96, "pressure_pa": 536.01}),
        );
        assert_eq!(
            written.to_string(),
            r#"{"force_n":536.1,"top_m":1.2,"safe_s":6.0,"area_share":0.679999,"pressure_pa":536.0}"#
        );
    }

    #[test]
    fn what_is_not_finite_is_left_out() {
        assert_eq!(
            rounded(json!({"a_m": f64::INFINITY, "b": null})).to_string(),
            "{}"
        );
    }
}
