//! What the page asks while somebody surveys: the program does every sum and says every sentence, as JSON.

mod book;
mod gauge;
mod gpx;
mod places;
mod sheets;
mod sum;
mod track;

use super::CliError;
use super::arguments::{FieldArguments, FieldWork};
use super::exit::print;
use crate::report::json::printed;
use crate::text::{Fault, FileExpectation, Place, decode, read_bytes};
use serde_json::Value;
use std::path::Path;
use std::process::ExitCode;

/// Answers one question of the field.
pub fn run(arguments: &FieldArguments) -> Result<ExitCode, CliError> {
    let answer = match &arguments.work {
        FieldWork::Sheets { units } => sheets::of(super::output::units(*units, None)),
        FieldWork::Book { file, taped } => book::of(file, taped.as_deref())?,
        FieldWork::Track { file } => track::of(file)?,
        FieldWork::Sum { files, units } => sum::of(files, super::output::units(*units, None))?,
        FieldWork::Places {
            files,
            at,
            within,
            units,
        } => places::of(files, at, *within, super::output::units(*units, None))?,
        FieldWork::Gauge { site, add } => gauge::of(site, add.as_deref())?,
    };
    print(&printed(&answer))?;
    Ok(ExitCode::SUCCESS)
}

/// A list of the page's own, in JSON.
fn listed(path: &Path) -> Result<Value, Fault> {
    let wanted = FileExpectation {
        what: "what the page recorded, in JSON",
        largest_bytes: 64 << 20,
        advice: "check the name and the folder",
    };
    let file = path.display().to_string();
    let bytes = read_bytes(path, &wanted)?;
    let text = decode(&file, &bytes)?.text;
    serde_json::from_str(&text).map_err(|e| {
        Fault::new(Place::file(file), "this record cannot be read")
            .found(e.to_string())
            .expected("JSON, as the page writes it")
            .advice("export the record again")
    })
}
