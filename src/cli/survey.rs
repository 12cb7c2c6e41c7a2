use super::CliError;
use super::arguments::SurveyArguments;
use super::output::{CommandOutput, beside, finish, units};
use super::progress::Progress;
use super::screen::look_for;
use crate::export;
use crate::form;
use crate::form::SiteOptions;
use crate::report;
use crate::report::account::SurveyReport;
use crate::site;
use crate::study::{self, BORE_WITHOUT_PIPE_M};
use crate::terminal;
use crate::text::Place;
use crate::unit;
use std::process::ExitCode;

/// Reads and judges a survey alone.
pub fn run(arguments: &SurveyArguments) -> Result<ExitCode, CliError> {
    let Some(first) = arguments.files.first() else {
        return Err(CliError::other("no file was given"));
    };
    let bore_m = match &arguments.bore {
        Some(text) => unit::length_m(text).map_err(|m| m.at(Place::default().key("--bore")))?,
        None => BORE_WITHOUT_PIPE_M,
    };
    let site = form::from_options(&SiteOptions {
        files: arguments
            .files
            .iter()
            .map(|f| f.display().to_string())
            .collect(),
        kind: arguments.kind.clone(),
        taped: arguments.unsaid.taped.clone(),
        from: arguments.unsaid.from.clone(),
        barometer: arguments.unsaid.barometer,
        pressure_log: arguments.unsaid.pressure_log(),
        base_log: arguments.unsaid.base_log(),
        ..SiteOptions::default()
    })?;
    let progress = Progress::start(arguments.judging.common.quiet, "reading the survey");
    let units = units(arguments.judging.common.units, None);
    let route = study::read_route(&site).map_err(|fault| units.fault(fault))?;
    progress.at("calculating the route");
    let title = first
        .file_stem()
        .map_or_else(String::new, |s| s.to_string_lossy().into_owned());
    let mut account = SurveyReport::of(study::survey(route, bore_m), title, units);
    account.paper = arguments.judging.paper.map_or(account.paper, Into::into);
    let said = CommandOutput {
        sheets: export::survey_sheets(&account)?,
        text: terminal::of_survey(&account, &look_for(arguments.judging.full)),
        brief: report::brief::of_survey(&account),
        inputs: site::files_read(&site),
    };
    drop(progress);
    finish(
        &said,
        &beside(first, "-survey-results"),
        &arguments.judging,
        account.worst(),
    )
}
