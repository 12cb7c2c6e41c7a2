//! The sheets that can be kept in the field, and what a walk with the page goes by.

use super::super::new::SHEETS;
use crate::form;
use crate::unit::Units;
use serde_json::{Value, json};

/// Fixes further apart than this have a gap between them, s: a receiver gives one a second, ten lost are seven metres of walking.
pub const GAP_S: f64 = 10.0;
/// How long to stand at a low or a high place, s, and at the ends: what the guide asks for.
const STAND_S: u32 = 180;
const STAND_AT_END_S: u32 = 60;

/// What is marked with one tap: the name that the waypoint gets, and the words on the button.
const MARKS: [(&str, &str); 6] = [
    ("intake", "Intake"),
    ("powerhouse", "Powerhouse"),
    ("vent", "Vent"),
    ("strap", "Strap"),
    ("joint", "Joint"),
    ("rising section", "It rises here"),
];

/// Columns that hold words; all others hold figures.
const WORDS: [&str; 7] = ["from", "to", "point", "name", "setup", "remark", "state"];

/// All of it.
pub fn of(units: Units) -> Value {
    let books: Vec<Value> = SHEETS
        .iter()
        .filter_map(|(kind, title, csv, _)| {
            let text = form::blank_sheet(*kind, units)?;
            let told: Vec<&str> = text
                .lines()
                .filter_map(|l| l.strip_prefix("# "))
                .collect();
            let heads = text.lines().find(|l| !l.starts_with('#'))?;
            let columns: Vec<Value> = heads
                .split(',')
                .map(|head| json!({"head": head, "label": label(head), "words": WORDS.contains(&head)}))
                .collect();
            Some(json!({"title": title, "file": csv, "help": told, "columns": columns}))
        })
        .collect();
    let marks: Vec<Value> = MARKS
        .iter()
        .map(|(name, shown)| json!({"name": name, "shown": shown}))
        .collect();
    json!({
        "books": books,
        "marks": marks,
        "gap_s": GAP_S,
        "stand_s": STAND_S,
        "stand_at_end_s": STAND_AT_END_S,
        "stand": "Stand still. The stop shows the drift of the receiver.",
        "limits": [
            "The recording stops when the phone is locked or the page is hidden. Keep the page in front.",
            "An app that records in the background does better. This program reads its GPX file.",
            "A phone gives its accuracy with a probability of 68 % or 95 %. It is a hint only.",
        ],
        "caution": "Look where you walk, not at the phone. Stay away from slopes that moved.",
    })
}

/// A head in words: `bs_m` is "Backsight, m".
pub fn label(head: &str) -> String {
    let (base, unit) = head
        .rsplit_once('_')
        .filter(|(_, unit)| ["m", "ft", "deg", "kpa", "psi", "c", "f"].contains(unit))
        .unwrap_or((head, ""));
    let words = match base {
        "bs" => "Backsight",
        "is" => "Intermediate sight",
        "fs" => "Foresight",
        "tape" => "Tape length",
        "eye" => "Height of eye",
        "target" => "Height of target",
        "gauge_height" => "Gauge above ground",
        "water" => "Water temperature",
        "sd" => "Standard deviation",
        "setup" => "Set-up",
        other => &other.replace('_', " "),
    };
    let unit = match unit {
        "deg" => "\u{b0}",
        "kpa" => "kPa",
        "c" => "\u{b0}C",
        "f" => "\u{b0}F",
        other => other,
    };
    let mut out = words.to_owned();
    if let Some(first) = out.get_mut(0..1) {
        first.make_ascii_uppercase();
    }
    if !unit.is_empty() {
        out.push_str(", ");
        out.push_str(unit);
    }
    out
}
