use super::Trouble;
use super::arguments::Compare;
use super::check::{is_site, read_file, read_site};
use super::output::{Said, beside, finish, units};
use super::survey::read_all;
use crate::compare::{self, AlignOptions, Apart};
use crate::line;
use crate::report::account::{Account, StormAccount};
use crate::report::{self, json};
use crate::route::{Route, RouteOptions};
use crate::site::{self, Site};
use crate::study::{Study, read_options, read_route};
use crate::text::{Fault, Place};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Holds a new survey of the same pipe against the site's.
pub fn run(arguments: &Compare) -> Result<ExitCode, Trouble> {
    let site = read_site(&arguments.site)?;
    let before_route = read_route(&site)?;
    let resurvey = later(&site, &arguments.after)?;
    let options = AlignOptions {
        same_heights: site.survey.ties.len() > 1,
        ..AlignOptions::default()
    };
    let apart = |why| apart(&why, &arguments.after);
    let alignment = compare::align(&before_route, &resurvey, &options).map_err(apart)?;
    let lies = compare::laid_on(&before_route, &resurvey, &alignment);
    let before_line = line::build(&site, &before_route)?;
    let after_line = line::build(&site, &lies)?;
    let before = Study::of(before_route, before_line);
    let after = Study::of(lies, after_line);
    let compared = compare::compared(&before, &after, &resurvey, &options).map_err(apart)?;
    let units = units(arguments.common.units, site.units);
    let account = StormAccount::of(
        Account::of(before, units),
        Account::of(after, units),
        compared,
    );
    let said = Said {
        json: json::printed(&json::of_storm(&account)),
        sheets: report::storm_sheets(&account)?,
        text: report::terminal::of_storm(&account),
    };
    finish(
        &said,
        &beside(&arguments.site, "-after-results"),
        &arguments.common,
        arguments.failing.fail_on,
        &account.after.findings,
    )
}

/// The later survey: files, or a TOML with a `[survey]`.
fn later(site: &Site, after: &[PathBuf]) -> Result<Route, Trouble> {
    if let [file] = after
        && is_site(file)
    {
        let name = file.display().to_string();
        let bytes = read_file(file)?;
        let text = crate::text::decode(&name, &bytes)?;
        let survey = site::read_survey_text(&name, &text.text)?;
        // What was said of the place holds for the later survey too; its files are named from its own file.
        return Ok(read_route(&Site {
            file: name,
            survey,
            ..site.clone()
        })?);
    }
    let along_slope = site.survey.taped.map(|t| t == site::Taped::Slope);
    let readings = read_all(
        after,
        None,
        // What was said of eye, staff and compass holds for the later book too.
        &read_options(site),
    )?;
    Ok(Route::from(
        &readings,
        &RouteOptions {
            along_slope,
            ..RouteOptions::default()
        },
    )?)
}

fn apart(why: &Apart, after: &[PathBuf]) -> Fault {
    let place = Place::file(
        after
            .first()
            .map_or_else(String::new, |f: &PathBuf| Path::display(f).to_string()),
    );
    match why {
        Apart::TooShort => Fault::new(place, "the later survey has fewer than two points")
            .expected("a walk or book of the pipe, or of the reach that was hit"),
        Apart::TooFar(m) => Fault::new(
            place,
            format!("the two surveys lie {m:.0} m from each other"),
        )
        .expected("two surveys of the same pipe")
        .advice("check that the files belong together"),
        Apart::TooLittle(m) => Fault::new(place, "the two surveys have too little in common")
            .expected(format!("at least {m:.0} m of the same pipe"))
            .advice("walk on to ground that did not move on both sides of the damage"),
    }
}
