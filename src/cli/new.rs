use super::CliError;
use super::arguments::NewArguments;
use super::exit::print;
use super::output::units;
use crate::drawing::PaperSize;
use crate::export::field;
use crate::form;
use crate::reading::Method;
use crate::text::{Fault, Place, neutral};
use crate::unit::Units;
use std::fs::OpenOptions;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// The blank sheets: kind, title, and the names of the sheet for the program and of the one to print and write on.
pub const SHEETS: [(Method, &str, &str, &str); 4] = [
    (Method::Points, "List of points", "points.csv", "points.svg"),
    (
        Method::Level,
        "Level book",
        "level-book.csv",
        "level-book.svg",
    ),
    (
        Method::Angle,
        "Tape and angle",
        "tape-and-clinometer.csv",
        "tape-and-clinometer.svg",
    ),
    (
        Method::Gauge,
        "Gauge readings",
        "gauge-readings.csv",
        "gauge-readings.svg",
    ),
];

/// Writes a commented site file and blank field sheets; a file that is there already is left alone.
pub fn run(arguments: &NewArguments) -> Result<ExitCode, CliError> {
    let folder = arguments
        .folder
        .clone()
        .unwrap_or_else(|| PathBuf::from("."));
    let units = units(Some(arguments.units), None);
    let paper = match units {
        Units::Metric => PaperSize::A4,
        Units::Us => PaperSize::Letter,
    };
    let mut files = vec![("site.toml", form::blank(units))];
    for (kind, title, csv, svg) in SHEETS {
        if let Some(text) = form::blank_sheet(kind, units) {
            files.push((csv, text.to_owned()));
            files.push((svg, field::sheet(title, text, paper)));
        }
    }
    let mut files: Vec<(String, String)> =
        files.into_iter().map(|(n, t)| (n.to_owned(), t)).collect();
    for (name, title, text) in form::blank_gauging(units) {
        files.push((format!("{name}.csv"), text.to_owned()));
        files.push((format!("{name}.svg"), field::sheet(title, text, paper)));
    }
    let bytes: Vec<(&str, &[u8])> = (files.iter())
        .map(|(n, t)| (n.as_str(), t.as_bytes()))
        .collect();
    write(&folder, &bytes, "give another folder: steadyfall new DIR")?;
    let names: Vec<&str> = files.iter().map(|f| f.0.as_str()).collect();
    print(&format!(
        "Wrote {} into {}.\nFill in site.toml (the ten keys at the top are the most important). Put your walk or sheet in the same folder. Then run\n  steadyfall check {}",
        names.join(", "),
        neutral(&folder.display().to_string()),
        neutral(&folder.join("site.toml").display().to_string())
    ))?;
    Ok(ExitCode::SUCCESS)
}

/// Writes files that are not there yet; where one is, nothing is written.
pub fn write(folder: &Path, files: &[(&str, &[u8])], advice: &str) -> Result<(), Fault> {
    if let Some((name, _)) = files.iter().find(|(name, _)| folder.join(name).exists()) {
        return Err(Fault::new(
            Place::file(folder.join(name).display().to_string()),
            "this file exists already; nothing was written",
        )
        .expected("a folder without a site file of its own")
        .advice(advice));
    }
    std::fs::create_dir_all(folder).map_err(|e| fault(folder, &e))?;
    for (name, bytes) in files {
        let path = folder.join(name);
        let mut file = OpenOptions::new()
            .write(true)
            .create_new(true)
            .open(&path)
            .map_err(|e| fault(&path, &e))?;
        file.write_all(bytes)
            .and_then(|()| file.sync_all())
            .map_err(|e| fault(&path, &e))?;
    }
    Ok(())
}

fn fault(path: &Path, error: &std::io::Error) -> Fault {
    Fault::new(Place::file(path.display().to_string()), "cannot be written")
        .found(error.to_string())
        .advice("give a folder that you can write to")
}
