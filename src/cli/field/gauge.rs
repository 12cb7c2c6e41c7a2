//! A reading for the gauge book: the states of this plant, and the book with one row more.

use super::super::CliError;
use crate::line::Discharge;
use crate::study::on_line;
use crate::text::{FileExpectation, Sheet, decode, read_bytes};
use crate::unit::Units;
use crate::{gauge_book, site};
use serde_json::{Value, json};
use std::path::Path;

const WANTED: FileExpectation<'_> = FileExpectation {
    what: "a book of gauge readings: CSV",
    largest_bytes: 64 << 20,
    advice: "check the name and the folder",
};

/// The book's name where the site file names none.
const FILE: &str = "gauge.csv";

/// What the page needs for a reading; with one, the book that holds it.
pub fn of(path: &Path, add: Option<&Path>) -> Result<Value, CliError> {
    let site = site::read_file(path)?;
    let units = site.units.unwrap_or_default();
    let (_, line) = on_line(&site).map_err(|f| CliError::from(f).in_units(units))?;
    let mut states: Vec<String> = Discharge::states(line.outlet.as_ref().map(|o| &o.how))
        .into_iter()
        .map(|(state, _)| state.to_string())
        .rev()
        .collect();
    for wish in &line.wishes.cases {
        let name = wish.state.to_string();
        if !states.contains(&name) {
            states.push(name);
        }
    }
    let named = site.gauge_books.first();
    let file = named.map_or_else(|| FILE.to_owned(), |f| f.value.clone());
    let there = match named {
        Some(said) => Some(site.path_of(said)),
        None => Some(site::path_beside(&site.file, FILE)).filter(|p| p.is_file()),
    };
    let text = match &there {
        Some(path) => {
            let bytes = read_bytes(path, &WANTED)?;
            decode(&path.display().to_string(), &bytes)?
                .text
                .to_string()
        }
        None => blank(units).to_owned(),
    };
    let sheet = Sheet::read(&file, &text)?;
    let pressure = sheet
        .heads
        .iter()
        .map(|h| h.text.clone())
        .find(|h| h.starts_with("pressure_"));
    let label = super::sheets::label(pressure.as_deref().unwrap_or("pressure"));
    let last = sheet
        .rows
        .last()
        .and_then(|row| Some(sheet.text(row, sheet.column("state")?).to_owned()));
    let mut out = json!({
        "file": file, "named": named.is_some(), "states": states, "label": label, "last_state": last,
        "rows": sheet.rows.len(),
    });
    if let Some(add) = add {
        let reading = super::listed::listed(add)?;
        let with = added(&sheet, &text, &reading);
        // The book is read as `log` reads it before the page keeps it.
        let book = gauge_book::read_text(with.as_bytes(), &file, &line)
            .map_err(|f| CliError::from(units.fault(f)))?;
        if let Some(out) = out.as_object_mut() {
            out.insert("text".to_owned(), json!(with));
            out.insert("rows".to_owned(), json!(book.rows));
        }
    }
    Ok(out)
}

fn blank(units: Units) -> &'static str {
    match units {
        Units::Metric => "date,state,pressure_kpa,power_w,remark\n",
        Units::Us => "date,state,pressure_psi,power_w,remark\n",
    }
}

/// The text with one row more, its cells under the heads that are there.
fn added(sheet: &Sheet, text: &str, reading: &Value) -> String {
    let cells: Vec<String> = sheet
        .heads
        .iter()
        .map(|head| {
            let key = if head.text.starts_with("pressure_") {
                "pressure"
            } else {
                head.text.as_str()
            };
            let said = match reading.get(key) {
                Some(Value::String(text)) => text.clone(),
                Some(other @ Value::Number(_)) => other.to_string(),
                _ => String::new(),
            };
            quoted(&said, sheet.delimiter)
        })
        .collect();
    let mut out = text.trim_end().to_owned();
    out.push('\n');
    out.push_str(&cells.join(&sheet.delimiter.to_string()));
    out.push('\n');
    out
}

/// A cell as CSV carries it (RFC 4180).
fn quoted(text: &str, delimiter: char) -> String {
    let text = text.replace(['\n', '\r'], " ");
    if text.contains(delimiter) || text.contains('"') {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text
    }
}
