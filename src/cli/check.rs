use super::CliError;
use super::arguments::{CheckArguments, Common, Judging};
use super::exit::print;
use super::output::{CommandOutput, beside, finish, units};
use super::progress::Progress;
use super::screen::look_for;
use crate::export;
use crate::folder::write_beside;
use crate::form;
use crate::form::SiteOptions;
use crate::gauging;
use crate::line::{self, Line};
use crate::reading::ReadOptions;
use crate::report;
use crate::report::account::{Report, worst};
use crate::report::prices::{self, Prices};
use crate::route::Route;
use crate::site::{self, Site};
use crate::study::{GaugedReader, LogReader, Reader, Study, read_route_with, with_gauged};
use crate::survey::{self, Bundle};
use crate::terminal;
use crate::text::{Fault, FileExpectation, Place, neutral, read_bytes};
use crate::track::pressure::{read_log, read_log_bytes};
use crate::unit::Units;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// The main job.
pub fn run(arguments: &CheckArguments) -> Result<ExitCode, CliError> {
    match arguments.files.as_slice() {
        [file] if is_site(file) => {
            options_with_a_site_file(arguments, file)?;
            let site = site::read_file(file)?;
            judge(&site, file, None, &arguments.judging, DISK)
        }
        [file] if has_ending(file, "zip") && arguments.pipe.is_empty() => {
            options_with_a_site_file(arguments, file)?;
            packed(arguments, file)
        }
        files => {
            if let Some(site) = files.iter().find(|f| is_site(f)) {
                return Err(Fault::new(
                    Place::file(site.display().to_string()),
                    "check one site file at a time",
                )
                .found(format!("{} files", files.len()))
                .expected("one site file, or survey files with --pipe")
                .advice("list the survey files in the site file")
                .into());
            }
            let (site, text) = from_options(arguments)?;
            let first = files.first().cloned().unwrap_or_default();
            judge(&site, &first, Some(text), &arguments.judging, DISK)
        }
    }
}

/// A site file by its name.
pub fn is_site(file: &Path) -> bool {
    has_ending(file, "toml")
}

pub fn has_ending(file: &Path, ending: &str) -> bool {
    file.extension()
        .is_some_and(|e| e.eq_ignore_ascii_case(ending))
}

/// Where the files come from that a site names.
#[derive(Clone, Copy)]
struct Files<'a> {
    survey: Reader<'a>,
    log: LogReader<'a>,
    gauged: GaugedReader<'a>,
    prices: &'a dyn Fn(&Path) -> Result<Prices, Fault>,
}

/// From the disk.
const DISK: Files<'_> = Files {
    survey: &|path, kind, options| survey::read(path, kind, options),
    log: &read_log,
    gauged: &|path, gravity| gauging::read(path, gravity),
    prices: &prices::read_file,
};

/// What a zip must be.
pub const ZIP: FileExpectation<'_> = FileExpectation {
    what: "a zip with a site file and its surveys",
    largest_bytes: 100_000_000,
    advice: "check the name and the folder",
};

/// A site file with its surveys in one zip. They are judged as they would be in a folder; only faults say that they lie in the zip.
fn packed(arguments: &CheckArguments, file: &Path) -> Result<ExitCode, CliError> {
    let bundle = Bundle::read(&file.display().to_string(), &read_bytes(file, &ZIP)?)?;
    let name = bundle.only(".toml")?.to_owned();
    let within = |path: &Path| path.to_string_lossy().replace('\\', "/");
    let survey = |path: &Path, kind, options: &ReadOptions| {
        let path = within(path);
        survey::read_bytes(bundle.get(&path)?, &path, kind, options)
    };
    let log = |path: &Path| {
        let path = within(path);
        read_log_bytes(bundle.get(&path)?, &path)
    };
    let gauged = |path: &Path, gravity: f64| {
        let path = within(path);
        gauging::read_text(bundle.get(&path)?, &path, gravity)
    };
    let priced = |path: &Path| {
        let path = within(path);
        prices::read(bundle.get(&path)?, &path)
    };
    let files = Files {
        survey: &survey,
        log: &log,
        gauged: &gauged,
        prices: &priced,
    };
    let run = || {
        let site = site::read_bytes_of(&name, bundle.get(&name)?)?;
        judge(&site, file, None, &arguments.judging, files)
    };
    run().map_err(|trouble| match trouble {
        CliError::Input(faults) => CliError::Input(
            faults
                .into_iter()
                .map(|mut fault| {
                    if bundle.get(&fault.place.file).is_ok() {
                        fault.place.file = bundle.within(&fault.place.file);
                    }
                    fault
                })
                .collect(),
        ),
        other => other,
    })
}

fn options_with_a_site_file(arguments: &CheckArguments, file: &Path) -> Result<(), Fault> {
    let given = [
        ("--pipe", !arguments.pipe.is_empty()),
        ("--jets", arguments.jets.is_some()),
        ("--water-level", arguments.water_level.is_some()),
        ("--taped", arguments.unsaid.taped.is_some()),
        ("--from", arguments.unsaid.from.is_some()),
        ("--barometer", arguments.unsaid.barometer),
        ("--pressure-log", arguments.unsaid.pressure_log.is_some()),
        ("--base-log", arguments.unsaid.base_log.is_some()),
    ];
    match given.iter().find(|(_, there)| *there) {
        Some((option, _)) => Err(Fault::new(
            Place::default(),
            format!("{option} cannot be used with a site file"),
        )
        .found(format!("{option} and {}", file.display()))
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
    files: Files<'_>,
) -> Result<ExitCode, CliError> {
    let progress = Progress::start(judging.common.quiet, "reading the survey");
    let units = units(judging.common.units, site.units);
    let (route, line) = on_line_from(site, files).map_err(|t| t.in_units(units))?;
    progress.at("calculating flow, air and surge");
    let folder = beside(first_file, "-results");
    let prices = match &site.prices {
        Some(file) => Some((files.prices)(&site.path_of(file))?),
        None => None,
    };
    let mut study = Study::of(route, line);
    if let (Some(prices), Some(laying)) = (prices, &mut study.laying) {
        prices.apply(laying, units);
    }
    progress.at("drawing and writing");
    let output = Output {
        folder: &folder,
        first_file,
        made,
        inputs: std::iter::once(first_file.to_owned())
            .chain(site::files_read(site))
            .collect(),
    };
    let done = conclude(study, units, output, judging, progress)?;
    let common = &judging.common;
    if !site.gauge_books.is_empty() && !common.json && !common.brief && !common.quiet {
        print(&format!(
            "This check does not use the gauge book. To see what changed over time, run: steadyfall log {}\n",
            neutral(&first_file.display().to_string())
        ))?;
    }
    Ok(done)
}

fn on_line_from(site: &Site, files: Files<'_>) -> Result<(Route, Line), CliError> {
    let route = read_route_with(site, files.survey, files.log)?;
    let line = with_gauged(site, line::build(site, &route)?, files.gauged)?;
    Ok((route, line))
}

/// Where the results of a check go.
pub struct Output<'a> {
    /// The folder, where no option names one.
    pub folder: &'a Path,
    /// The first file that was named: what is kept for the user lies beside it.
    pub first_file: &'a Path,
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
) -> Result<ExitCode, CliError> {
    let mut account = Report::of(study, units);
    account.paper = judging.paper.map_or(account.paper, Into::into);
    let said = CommandOutput {
        sheets: export::sheets(&account)?,
        text: terminal::of_check(&account, &look_for(judging.full)),
        brief: report::brief::of_check(&account),
        inputs: output.inputs,
    };
    drop(progress);
    let done = finish(&said, output.folder, judging, worst(&account.findings))?;
    // What is only printed leaves no file behind.
    if let (Some(text), false) = (&output.made, judging.common.is_printed_alone()) {
        keep(text, output.first_file, &judging.common)?;
    }
    Ok(done)
}

/// Writes the site file that was made from options beside the survey.
fn keep(text: &str, first_file: &Path, common: &Common) -> Result<(), CliError> {
    let wanted = beside(first_file, "-site.toml");
    let path = write_beside(&wanted, text)?;
    let shown = |path: &Path| neutral(&path.display().to_string());
    if path != wanted {
        eprintln!(
            "{} was changed after it was written. It is kept. The site file of this run is {}",
            shown(&wanted),
            shown(&path)
        );
    }
    if !common.json && !common.quiet {
        print(&format!(
            "Add your data to {0}, then run: steadyfall check {0}",
            shown(&path)
        ))?;
    }
    Ok(())
}

/// A site made of options, its survey files named from where the user stands, and the text that says the same from beside the first of them.
fn from_options(arguments: &CheckArguments) -> Result<(Site, String), CliError> {
    if arguments.pipe.is_empty() {
        let first = arguments.files.first().map(|f| f.display().to_string());
        return Err(Fault::new(Place::default(), "survey files need --pipe")
            .found(first.unwrap_or_default())
            .expected("a site file, or survey files with --pipe (and --jets, --water-level)")
            .advice("add --pipe \"PE100 SDR11 90\", or use `steadyfall survey` for the route only")
            .into());
    }
    let first = arguments.files.first();
    let home = first.and_then(|f| f.parent()).unwrap_or(Path::new(""));
    let wish = SiteOptions {
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
        barometer: arguments.unsaid.barometer,
        pressure_log: arguments.unsaid.pressure_log(),
        base_log: arguments.unsaid.base_log(),
        pipes: arguments.pipe.clone(),
        jets: arguments.jets.clone(),
        water_level: arguments.water_level.clone(),
    };
    let site = form::from_options(&wish)?;
    let mut written = site.clone();
    let survey = &mut written.survey;
    let logs = survey.pressure_log.iter_mut().chain(&mut survey.base_log);
    for said in survey.files.iter_mut().chain(logs) {
        said.value = named_from(home, Path::new(&said.value));
    }
    Ok((site, form::options_text(&written)))
}

/// A file as it is named from a folder: by what follows the folder, else by its whole path.
fn named_from(home: &Path, file: &Path) -> String {
    match file.strip_prefix(home) {
        Ok(rest) if !file.is_absolute() || home.is_absolute() => rest.display().to_string(),
        _ => std::path::absolute(file)
            .unwrap_or_else(|_| file.to_owned())
            .display()
            .to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_named_from_the_folder_of_the_first_one() {
        let named = |home: &str, file: &str| named_from(Path::new(home), Path::new(file));
        assert_eq!(named("", "walk.gpx"), "walk.gpx");
        assert_eq!(named("a", "a/walk.gpx"), "walk.gpx");
        assert_eq!(named("a", "a/b/walk.gpx"), "b/walk.gpx");
        assert!(Path::new(&named("a", "b/walk.gpx")).is_absolute());
        assert!(Path::new(&named("a", "../walk.gpx")).is_absolute());
    }
}
