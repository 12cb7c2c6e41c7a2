use super::Trouble;
use super::arguments::New;
use super::exit::print;
use crate::drawing::Paper;
use crate::export::field;
use crate::site::{self, SurveyKind};
use crate::text::{Fault, Place, neutral};
use std::fs::OpenOptions;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Writes a commented site file and blank field sheets; a file that is there already is left alone.
pub fn run(arguments: &New) -> Result<ExitCode, Trouble> {
    let folder = arguments
        .folder
        .clone()
        .unwrap_or_else(|| PathBuf::from("."));
    // Each as a sheet for the program and as one to print and write on.
    let sheets = [
        (SurveyKind::Points, "Points", "points.csv", "points.svg"),
        (
            SurveyKind::Level,
            "Level book",
            "level-book.csv",
            "level-book.svg",
        ),
        (
            SurveyKind::Angle,
            "Tape and angle",
            "tape-and-clinometer.csv",
            "tape-and-clinometer.svg",
        ),
        (
            SurveyKind::Gauge,
            "Gauge readings",
            "gauge-readings.csv",
            "gauge-readings.svg",
        ),
    ];
    let mut files = vec![("site.toml", site::blank().to_owned())];
    for (kind, title, csv, svg) in sheets {
        if let Some(text) = site::blank_sheet(kind) {
            files.push((csv, text.to_owned()));
            files.push((svg, field::sheet(title, text, Paper::A4)));
        }
    }
    // Nothing is written unless everything can be.
    if let Some((name, _)) = files.iter().find(|(name, _)| folder.join(name).exists()) {
        return Err(Fault::new(
            Place::file(folder.join(name).display().to_string()),
            "this file is there already, so nothing was written",
        )
        .expected("a folder without a site file of its own")
        .advice("name another folder: steadyfall new DIR")
        .into());
    }
    std::fs::create_dir_all(&folder).map_err(|e| fault(&folder, &e))?;
    for (name, text) in &files {
        let path = folder.join(name);
        let mut file = OpenOptions::new()
            .write(true)
            .create_new(true)
            .open(&path)
            .map_err(|e| fault(&path, &e))?;
        file.write_all(text.as_bytes())
            .and_then(|()| file.sync_all())
            .map_err(|e| fault(&path, &e))?;
    }
    let names: Vec<&str> = files.iter().map(|f| f.0).collect();
    print(&format!(
        "Wrote {} into {}.\nFill in site.toml (the ten keys on top matter first), put your walk or sheet beside it, and run\n  steadyfall check {}",
        names.join(", "),
        neutral(&folder.display().to_string()),
        neutral(&folder.join("site.toml").display().to_string())
    ))?;
    Ok(ExitCode::SUCCESS)
}

fn fault(path: &Path, error: &std::io::Error) -> Fault {
    Fault::new(Place::file(path.display().to_string()), "cannot be written")
        .found(error.to_string())
        .advice("name a folder that you may write to")
}
