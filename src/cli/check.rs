use super::Trouble;
use super::arguments::{Check, Judging};
use super::output::{Said, beside, finish, units};
use super::progress::Progress;
use super::screen::look;
use crate::json;
use crate::line::{self, Line};
use crate::report;
use crate::route::Route;
use crate::site::{self, Site, Wish};
use crate::study::{Study, read_route};
use crate::text::{Fault, Place};
use crate::unit::Units;
use crate::words::account::{Report, worst};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// The main job.
pub fn run(arguments: &Check) -> Result<ExitCode, Trouble> {
    match arguments.files.as_slice() {
        [file] if is_site(file) => {
            options_with_a_site_file(arguments, file)?;
            let site = site::read_file(file)?;
            judge(&site, file, None, &arguments.judging)
        }
        files => {
            if let Some(site) = files.iter().find(|f| is_site(f)) {
                return Err(Fault::new(
                    Place::file(site.display().to_string()),
                    "a site file is checked by itself",
                )
                .found(format!("{} files", files.len()))
                .expected("one site file, or survey files with --pipe")
                .advice("name the survey files in the site file")
                .into());
            }
            let (site, text) = from_options(arguments)?;
            let first = files.first().cloned().unwrap_or_default();
            judge(&site, &first, Some(text), &arguments.judging)
        }
    }
}

/// A site file by its name.
pub fn is_site(file: &Path) -> bool {
    file.extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("toml"))
}

fn options_with_a_site_file(arguments: &Check, file: &Path) -> Result<(), Fault> {
    let given = [
        ("--pipe", !arguments.pipe.is_empty()),
        ("--jets", arguments.jets.is_some()),
        ("--water-level", arguments.water_level.is_some()),
        ("--taped", arguments.unsaid.taped.is_some()),
        ("--from", arguments.unsaid.from.is_some()),
    ];
    match given.iter().find(|(_, there)| *there) {
        Some((option, _)) => Err(Fault::new(
            Place::default(),
            format!("{option} does not go with a site file"),
        )
        .found(format!("{option} beside {}", file.display()))
        .expected("either a site file, or survey files with --pipe and --jets")
        .advice("write it in the site file")),
        None => Ok(()),
    }
}

/// Judges a site and writes the results. `made` is the text of a site file that was made from options.
fn judge(
    site: &Site,
    first_file: &Path,
    made: Option<String>,
    judging: &Judging,
) -> Result<ExitCode, Trouble> {
    let progress = Progress::start(judging.common.quiet, "reading the survey");
    let units = units(judging.common.units, site.units);
    let (route, line) = on_line(site).map_err(|t| t.in_units(units))?;
    progress.at("running water, air and surges");
    let folder = beside(first_file, "-results");
    let study = Study::of(route, line);
    progress.at("drawing and writing");
    let output = Output {
        folder: &folder,
        made,
        inputs: site::files_read(site),
    };
    conclude(study, units, output, judging, progress)
}

/// A site's survey on one line, and everything the site declares on it.
pub fn on_line(site: &Site) -> Result<(Route, Line), Trouble> {
    let route = read_route(site)?;
    let line = line::build(site, &route)?;
    Ok((route, line))
}

/// Where the results of a check go.
pub struct Output<'a> {
    /// The folder, where no option names one.
    pub folder: &'a Path,
    /// The text of a site file that was made from options.
    pub made: Option<String>,
    /// The files that were read.
    pub inputs: Vec<PathBuf>,
}

/// Reads the findings off a study, writes the folder and prints.
pub fn conclude(
    study: Study,
    units: Units,
    output: Output<'_>,
    judging: &Judging,
    progress: Progress,
) -> Result<ExitCode, Trouble> {
    let mut account = Report::of(study, units);
    account.paper = judging.paper.map_or(account.paper, Into::into);
    let mut sheets = report::sheets(&account)?;
    if let Some(text) = output.made {
        sheets.push(("site.toml".to_owned(), text.into_bytes()));
    }
    let said = Said {
        json: json::printed(&json::of_check(&account)),
        sheets,
        text: crate::terminal::of_check(&account, &look()),
        inputs: output.inputs,
    };
    drop(progress);
    finish(&said, output.folder, judging, worst(&account.findings))
}

/// A site made of options, its survey files named from where the user stands, and the text that says the same from inside the results folder.
fn from_options(arguments: &Check) -> Result<(Site, String), Trouble> {
    if arguments.pipe.is_empty() {
        let first = arguments.files.first().map(|f| f.display().to_string());
        return Err(Fault::new(Place::default(), "survey files need --pipe")
            .found(first.unwrap_or_default())
            .expected("a site file, or survey files with --pipe (and --jets, --water-level)")
            .advice("add --pipe \"PE100 SDR11 90\", or use `steadyfall survey` for the route alone")
            .into());
    }
    // The text lies in the results folder, one below the files; from another folder only the whole path finds them.
    let from_folder = |file: &PathBuf| match (&arguments.judging.common.out, file.file_name()) {
        (None, Some(name)) => format!("../{}", name.to_string_lossy()),
        _ => std::path::absolute(file)
            .unwrap_or_else(|_| file.clone())
            .display()
            .to_string(),
    };
    let first = arguments.files.first();
    let wish = Wish {
        files: arguments
            .files
            .iter()
            .map(|f| f.display().to_string())
            .collect(),
        title: first
            .and_then(|f| f.file_stem())
            .map(|s| s.to_string_lossy().into_owned()),
        units: arguments.judging.common.units.map(|u| units(Some(u), None)),
        kind: None,
        taped: arguments.unsaid.taped.clone(),
        from: arguments.unsaid.from.clone(),
        pipes: arguments.pipe.clone(),
        jets: arguments.jets.clone(),
        water_level: arguments.water_level.clone(),
    };
    let (_, site) = site::from_options(&wish)?;
    let text = site::options_text(&Wish {
        files: arguments.files.iter().map(from_folder).collect(),
        ..wish
    })?;
    Ok((site, text))
}
