//! What the page asks while somebody surveys: the program does every sum and says every sentence, as JSON.

mod book;
mod clock;
mod gauge;
mod gpx;
mod listed;
mod places;
mod sheets;
mod sum;
mod track;

use super::CliError;
use super::arguments::{FieldArguments, FieldWork};
use super::exit::print;
use crate::json::printed;
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
