use super::Trouble;
use super::arguments::Survey;
use super::output::{Said, beside, finish, units};
use super::progress::Progress;
use super::screen::look;
use crate::json;
use crate::report;
use crate::route::{End, Route, RouteOptions};
use crate::study::{self, BORE_WITHOUT_PIPE_M};
use crate::survey::{self, Method, ReadOptions, Reading};
use crate::text::{Fault, Place};
use crate::unit;
use crate::words::account::SurveyAccount;
use std::path::PathBuf;
use std::process::ExitCode;

/// Reads and judges a survey alone.
pub fn run(arguments: &Survey) -> Result<ExitCode, Trouble> {
    let Some(first) = arguments.files.first() else {
        return Err(Trouble::other("no file was given"));
    };
    let bore_m = match &arguments.bore {
        Some(text) => unit::length_m(text).map_err(|m| m.at(Place::default().key("--bore")))?,
        None => BORE_WITHOUT_PIPE_M,
    };
    let along_slope = arguments
        .unsaid
        .taped
        .as_deref()
        .map(|word| choice("--taped", word, &[("slope", true), ("horizontal", false)]))
        .transpose()?;
    let from = arguments
        .unsaid
        .from
        .as_deref()
        .map(|word| {
            choice(
                "--from",
                word,
                &[("intake", End::Intake), ("turbine", End::Turbine)],
            )
        })
        .transpose()?;
    let kind = arguments
        .kind
        .as_deref()
        .map(|word| {
            choice(
                "--kind",
                word,
                &[
                    ("gpx", Method::Gpx),
                    ("level", Method::Level),
                    ("angle", Method::Angle),
                    ("points", Method::Points),
                    ("gauge", Method::Gauge),
                ],
            )
        })
        .transpose()?;
    let progress = Progress::start(arguments.judging.common.quiet, "reading the survey");
    let readings = read_all(
        &arguments.files,
        kind,
        &ReadOptions {
            along_slope,
            ..ReadOptions::default()
        },
    )?;
    progress.at("bringing the survey onto one line");
    let units = units(arguments.judging.common.units, None);
    let route = Route::from(
        &readings,
        &RouteOptions {
            from,
            along_slope,
            ..RouteOptions::default()
        },
    )
    .map_err(|fault| units.fault(fault))?;
    let title = first
        .file_stem()
        .map_or_else(String::new, |s| s.to_string_lossy().into_owned());
    let mut account = SurveyAccount::of(study::survey(route, bore_m), title, units);
    account.paper = arguments.judging.paper.map_or(account.paper, Into::into);
    let said = Said {
        json: json::printed(&json::of_survey(&account)),
        sheets: report::survey_sheets(&account)?,
        text: crate::terminal::of_survey(&account, &look()),
        inputs: arguments.files.clone(),
    };
    drop(progress);
    finish(
        &said,
        &beside(first, "-survey-results"),
        &arguments.judging,
        account.worst(),
    )
}

/// Reads each file of a survey.
pub fn read_all(
    files: &[PathBuf],
    kind: Option<Method>,
    options: &ReadOptions,
) -> Result<Vec<Reading>, Fault> {
    let readings = files.iter().map(|file| survey::read(file, kind, options));
    survey::together(readings, &mut 0)
}

/// One of a few words of an option.
pub fn choice<T: Copy>(option: &str, word: &str, known: &[(&str, T)]) -> Result<T, Fault> {
    let words: Vec<&str> = known.iter().map(|k| k.0).collect();
    known
        .iter()
        .find(|k| k.0.eq_ignore_ascii_case(word.trim()))
        .map(|k| k.1)
        .ok_or_else(|| {
            let fault = Fault::new(
                Place::default().key(option),
                format!("{option} cannot be \"{word}\""),
            )
            .found(word)
            .expected(words.join(", "));
            match crate::text::nearest(word, words.iter().copied()) {
                Some(near) => fault.advice(format!("write {option} {near}")),
                None => fault.advice(format!("write one of {}", words.join(", "))),
            }
        })
}
