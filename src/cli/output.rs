//! What every judging command does at its end: the folder, standard output, the exit status.

use super::CliError;
use super::arguments::{Judging, SeverityWord, UnitsWord};
use super::exit::print;
use crate::export;
use crate::finding::Severity;
use crate::folder::{self, ResultFile};
use crate::json::printed;
use crate::unit::Units;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Exit status of a run in which a finding at or above `--fail-on` stands.
const FOUND: u8 = 3;

/// The file that holds every figure.
const RESULT: &str = "result.json";

/// What a command has to say.
pub struct CommandOutput {
    /// The files of the folder, result.json among them.
    pub sheets: Vec<ResultFile>,
    /// The text for the terminal.
    pub text: String,
    /// The answer in short.
    pub brief: serde_json::Value,
    /// The files that were read: a run never replaces one.
    pub inputs: Vec<PathBuf>,
}

impl CommandOutput {
    /// result.json as it is written.
    fn result(&self) -> &str {
        let file = self.sheets.iter().find(|(name, _)| name == RESULT);
        file.and_then(|(_, bytes)| std::str::from_utf8(bytes).ok())
            .unwrap_or_default()
    }
}

/// Writes the folder and prints; gives the exit status by the gravest of what was found.
pub fn finish(
    said: &CommandOutput,
    folder_default: &Path,
    judging: &Judging,
    worst: Option<Severity>,
) -> Result<ExitCode, CliError> {
    let common = &judging.common;
    let folder = common
        .out
        .clone()
        .or_else(|| (!common.is_printed_alone()).then(|| folder_default.to_owned()));
    if let Some(folder) = &folder {
        let mut sheets = said.sheets.clone();
        if judging.workbook {
            let bytes = export::workbook(&sheets)?;
            sheets.push(("workbook.xlsx".to_owned(), bytes));
        }
        for kept in folder::write(folder, &sheets, &said.inputs)? {
            eprintln!(
                "{} was changed after it was written. It is kept as {}",
                crate::text::neutral(&kept.was),
                crate::text::neutral(&kept.is)
            );
        }
    }
    if common.brief {
        print(&printed(&said.brief))?;
    } else if common.json {
        print(said.result())?;
    } else if !common.quiet {
        print(&said.text)?;
        if let Some(folder) = &folder {
            let shown = |name: &str| folder.join(name).display().to_string();
            let best = if said.sheets.iter().any(|s| s.0 == "report.html") {
                shown("report.html")
            } else {
                shown(RESULT)
            };
            print(&format!("\nOpen {}\n", crate::text::neutral(&best)))?;
        }
    }
    let failed = judging
        .fail_on
        .is_some_and(|on| worst >= Some(severity(on)));
    Ok(if failed {
        ExitCode::from(FOUND)
    } else {
        ExitCode::SUCCESS
    })
}

fn severity(word: SeverityWord) -> Severity {
    match word {
        SeverityWord::Stop => Severity::Stop,
        SeverityWord::Fix => Severity::Fix,
        SeverityWord::Watch => Severity::Watch,
    }
}

/// Units of what is shown: the option, else the site file's, else metric.
pub fn units(word: Option<UnitsWord>, site: Option<Units>) -> Units {
    match word {
        Some(UnitsWord::Metric) => Units::Metric,
        Some(UnitsWord::Us) => Units::Us,
        None => site.unwrap_or_default(),
    }
}

/// The folder beside a file: its name without the ending, and what the results are of.
pub fn beside(file: &Path, ending: &str) -> PathBuf {
    let stem = file
        .file_stem()
        .map_or_else(|| "survey".into(), |s| s.to_string_lossy().into_owned());
    file.with_file_name(format!("{stem}{ending}"))
}
