//! A book while it is kept: the carry of every row, the check of the page, the misclosure, and what is wrong or lacking.

use super::super::exit::fault_json;
use crate::reading::{Method, ReadOptions};
use crate::survey::{BookSoFar, RowSoFar, book_so_far};
use crate::text::{Fault, FileExpectation, Remark, read_bytes};
use crate::unit::Units;
use crate::unit::exact::FOOT_M;
use serde_json::{Value, json};
use std::path::Path;

const WANTED: FileExpectation<'_> = FileExpectation {
    what: "a book that is being kept: CSV",
    largest_bytes: 8 << 20,
    advice: "check the name and the folder",
};

/// What a book says so far.
pub fn of(path: &Path, taped: Option<&str>) -> Result<Value, Fault> {
    let file = path.display().to_string();
    let bytes = read_bytes(path, &WANTED)?;
    let options = ReadOptions {
        along_slope: taped.map(|t| t == "slope"),
        ..ReadOptions::default()
    };
    let book = book_so_far(&bytes, &file, &options)?;
    let units = if in_feet(&bytes) {
        Units::Us
    } else {
        Units::Metric
    };
    let rows: Vec<Value> = book.rows.iter().map(|r| row(r, units)).collect();
    let said: Vec<Value> = book.remarks.iter().map(|r| remark(r, units)).collect();
    let faults: Vec<Value> = book
        .faults
        .iter()
        .map(|f| fault_json(&units.fault(f.clone())))
        .collect();
    let lacking = book.lacking.as_ref().map(|f| units.say(&f.text));
    Ok(json!({
        "rows": rows,
        "check": book.check.as_ref().map(|c| units.say(c)),
        "checks": book.sums.map(|s| s.left_m() < 5e-4),
        "misclosure": book.misclosure.map(|m| json!({
            "found_m": m.found_m, "allowed_m": m.allowed_m, "holds": m.found_m.abs() <= m.allowed_m + 1e-9,
        })),
        "setups": book.setups,
        "open": book.is_open,
        "next": next(&book),
        "lacking": lacking,
        "said": said,
        "faults": faults,
    }))
}

/// Whether most heads of lengths say feet.
fn in_feet(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    let heads = text.lines().find(|l| !l.starts_with('#')).unwrap_or("");
    let ends = |unit: &str| {
        heads
            .split(',')
            .filter(|h| h.trim().ends_with(unit))
            .count()
    };
    ends("_ft") > ends("_m")
}

/// What is to be booked next.
fn next(book: &BookSoFar) -> Option<String> {
    if book.method != Method::Level {
        return None;
    }
    if book.is_open {
        return Some("This set-up waits for its foresight.".to_owned());
    }
    if book.misclosure.is_some() || !book.faults.is_empty() {
        return None;
    }
    let n = book.setups_to_close?;
    let setups = if n == 1 { "set-up" } else { "set-ups" };
    Some(format!(
        "The book does not close yet. Return to the start with about {n} more {setups}, or continue to a second known height."
    ))
}

fn row(row: &RowSoFar, units: Units) -> Value {
    let (size, decimals) = match units {
        Units::Metric => (1.0, 3),
        Units::Us => (FOOT_M, 2),
    };
    let shown = |m: f64| format!("{:.decimals$}", m / size + 0.0);
    let rise = row.rise_m.map(|m| {
        if m < 0.0 {
            ("fall", shown(-m))
        } else {
            ("rise", shown(m))
        }
    });
    let cells: Vec<Value> = [
        ("height of instrument", row.instrument_m.map(shown)),
        ("elevation", row.elevation_m.map(shown)),
    ]
    .into_iter()
    .filter_map(|(what, value)| Some(json!({"what": what, "shown": value?})))
    .chain(rise.map(|(what, value)| json!({"what": what, "shown": value})))
    .collect();
    json!({
        "line": row.line,
        "cells": cells,
        "station_m": row.station_m,
        "elevation_m": row.elevation_m,
        "instrument_m": row.instrument_m,
        "rise_m": row.rise_m,
    })
}

fn remark(remark: &Remark, units: Units) -> Value {
    json!({"line": remark.place.line, "text": units.say(&remark.text)})
}
