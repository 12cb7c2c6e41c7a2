use super::CliError;
use super::arguments::CompareArguments;
use super::check::is_site;
use super::output::{CommandOutput, beside, finish, units};
use super::progress::Progress;
use super::screen::look_for;
use crate::compare::{self, AlignOptions, Apart};
use crate::export;
use crate::form;
use crate::gauging;
use crate::line;
use crate::reading::ReadOptions;
use crate::report;
use crate::report::account::{Report, StormReport, worst};
use crate::route::{Reckoning, Route, RouteOptions};
use crate::site::{self, Date, Site};
use crate::study::{Study, WalkedWith, read_options, read_route, with_gauged};
use crate::survey;
use crate::terminal;
use crate::text::{Fault, Place, Sentence};
use crate::track::pressure::read_log;
use crate::unit::{self, OnPegs, Units};
use crate::words::apart as apart_words;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Holds a new survey of the same pipe against the site's.
pub fn run(arguments: &CompareArguments) -> Result<ExitCode, CliError> {
    let site = site::read_file(&arguments.site)?;
    let units = units(arguments.judging.common.units, site.units);
    storm(&site, units, arguments).map_err(|t| t.in_units(units))
}

fn storm(site: &Site, units: Units, arguments: &CompareArguments) -> Result<ExitCode, CliError> {
    let progress = Progress::start(arguments.judging.common.quiet, "reading both surveys");
    let before_route = read_route(site)?;
    let (resurvey, tied, date) = later(site, arguments)?;
    let options = AlignOptions {
        same_heights: tied && site.survey.ties.len() > 1,
        stable_m: arguments
            .stable
            .iter()
            .map(|text| stable(text, &before_route))
            .collect::<Result<_, Fault>>()?,
        station_offset_m: arguments
            .begins_at
            .as_deref()
            .map(|text| on_line(text, "--begins-at", &before_route))
            .transpose()?,
    };
    let apart = |why| apart(&why, &arguments.after);
    let alignment = compare::align(&before_route, &resurvey, &options).map_err(apart)?;
    let lies = compare::laid_on(&before_route, &resurvey, &alignment);
    let gauged = |line| with_gauged(site, line, &|path, gravity| gauging::read(path, gravity));
    let before_line = gauged(line::build(site, &before_route)?)?;
    // What is drawn of the later line carries its own day, where one was said.
    let mut site_now = site.clone();
    site_now.survey.date = date;
    let after_line = gauged(line::build(&site_now, &lies)?)?;
    progress.at("calculating the pipeline before and after");
    let before = Study::of(before_route, before_line);
    let after = Study::of(lies, after_line);
    let compared = compare::compared(&before, &after, &resurvey, &options).map_err(apart)?;
    progress.at("drawing and writing");
    let mut account = StormReport::of(
        Report::of(before, units),
        Report::of(after, units),
        compared,
    );
    account.after.paper = arguments
        .judging
        .paper
        .map_or(account.after.paper, Into::into);
    let said = CommandOutput {
        sheets: export::storm_sheets(&account)?,
        text: terminal::of_storm(&account, &look_for(arguments.judging.full)),
        brief: report::brief::of_storm(&account),
        inputs: site::files_read(site)
            .into_iter()
            .chain(arguments.after.iter().cloned())
            .collect(),
    };
    drop(progress);
    finish(
        &said,
        &beside(&arguments.site, "-after-results"),
        &arguments.judging,
        worst(&account.after.findings),
    )
}

/// The later survey: files, or a TOML with a `[survey]`; whether known heights of its own hold it; its day.
fn later(
    site: &Site,
    arguments: &CompareArguments,
) -> Result<(Route, bool, Option<Date>), CliError> {
    let after = arguments.after.as_slice();
    if let [file] = after
        && is_site(file)
    {
        let survey = site::read_survey_file(file)?;
        let (tied, date) = (survey.ties.len() > 1, survey.date);
        // What was said of the place holds for the later survey too; its files are named from its own file.
        let route = read_route(&Site {
            file: file.display().to_string(),
            survey,
            ..site.clone()
        })?;
        return Ok((route, tied, date));
    }
    let along_slope = match &arguments.taped {
        Some(word) => Some(form::taped("--taped", word)?),
        None => site.survey.taped,
    }
    .map(|t| t == site::Taped::Slope);
    // What was said of eye, staff and compass holds for the later book too; places, ties and parts are of the earlier survey alone.
    let reading = ReadOptions {
        along_slope,
        ..read_options(site)
    };
    let readings = after.iter().map(|file| survey::read(file, None, &reading));
    let mut readings = survey::together(readings, &mut 0)?;
    let options = RouteOptions {
        along_slope,
        heights: WalkedWith::of(site)
            .another_day()
            .heights(&mut readings, &read_log)?,
        ..RouteOptions::default()
    };
    Ok((Route::from(&readings, &options)?, false, None))
}

/// A station of an option, in the site's own reckoning, on the line of the earlier survey, m.
fn on_line(text: &str, option: &str, before: &Route) -> Result<f64, Fault> {
    let place = Place::default().key(option);
    let said = unit::station_m(text).map_err(|m| m.at(place.clone()))?;
    let pegs = Reckoning::of(before);
    match pegs.ends() {
        Some((OnPegs(low), OnPegs(high))) if said >= low - 0.5 && said <= high + 0.5 => {
            Ok(pegs.station_m(OnPegs(said)))
        }
        ends => {
            let (OnPegs(low), OnPegs(high)) = ends.unwrap_or_default();
            Err(Fault::new(place, "this station is not on the pipe")
                .found(text)
                .expected(
                    Sentence::from("a station from ")
                        .length(low, 0)
                        .words(" to ")
                        .length(high, 0),
                )
                .advice("measure it as the site file does"))
        }
    }
}

/// "0 m to 120 m".
fn stable(text: &str, before: &Route) -> Result<(f64, f64), Fault> {
    let Some((from, to)) = text.split_once(" to ") else {
        return Err(Fault::new(
            Place::default().key("--stable"),
            "this is not a section of the pipe",
        )
        .found(text)
        .expected("two stations with their units: \"0 m to 120 m\"")
        .advice("give the option once for each section that did not move"));
    };
    let (a, b) = (
        on_line(from.trim(), "--stable", before)?,
        on_line(to.trim(), "--stable", before)?,
    );
    Ok((a.min(b), a.max(b)))
}

fn apart(why: &Apart, after: &[PathBuf]) -> Fault {
    let place = Place::file(
        after
            .first()
            .map_or_else(String::new, |f: &PathBuf| Path::display(f).to_string()),
    );
    let fault = Fault::new(place, apart_words(why));
    match why {
        Apart::TooShort => {
            fault.expected("a walk or level book of the pipe, or of the damaged section")
        }
        Apart::TooFar(_) => fault
            .expected("two surveys of the same pipe")
            .advice("check that the files belong together"),
        Apart::TooLittle(m) => fault
            .expected(Sentence::from("at least ").length(*m, 0).words(" of the same pipe"))
            .advice("extend the survey on both sides of the damage, to ground that did not move"),
        Apart::NoPlace => fault
            .found("its stations start at its own first point, no name is in both surveys, and its heights agree with more than one place")
            .expected("the stations of the pegs, a point with the same name as in the earlier survey, or positions")
            .advice("give the station of its end nearest the intake: --begins-at \"380 m\""),
    }
}
