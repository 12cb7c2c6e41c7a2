use super::CliError;
use super::arguments::LogArguments;
use super::exit::print;
use super::output::{beside, units};
use super::progress::Progress;
use super::screen::look;
use crate::gauge_book;
use crate::site;
use crate::study::{Study, air_legs, on_line};
use crate::terminal::gauge_book as told;
use crate::terminal::look::Look;
use crate::text::{Fault, Place, neutral};
use crate::view::gauge_curves;
use crate::{folder, html as page, json};
use std::process::ExitCode;

/// A book of gauge readings held against the line.
pub fn run(arguments: &LogArguments) -> Result<ExitCode, CliError> {
    let site = site::read_file(&arguments.site)?;
    let common = &arguments.common;
    let units = units(common.units, site.units);
    let named = site.gauge_books.iter().map(|f| site.path_of(f));
    let books: Vec<_> = arguments
        .books
        .iter()
        .cloned()
        .chain(named.filter(|_| arguments.books.is_empty()))
        .collect();
    if books.is_empty() {
        return Err(Fault::new(
            Place::file(arguments.site.display().to_string()),
            "no gauge book is given",
        )
        .expected("[[gauge_book]] with file = \"gauge.csv\", or the file on the command line")
        .advice("write the readings in a sheet with the columns date, state, pressure_psi (or _kpa, _bar, _m)")
        .into());
    }
    let progress = Progress::start(common.quiet, "reading the gauge book");
    let (route, line) = on_line(&site).map_err(|f| CliError::from(f).in_units(units))?;
    let mut book = gauge_book::GaugeBook::default();
    for file in &books {
        book.add(gauge_book::read(file, &line).map_err(|f| CliError::from(units.fault(f)))?);
    }
    progress.at("looking for changes");
    let study = Study::of(route, line);
    let legs = air_legs(&study.profile, study.air.as_ref());
    let judged = gauge_book::judge(&study.line, &legs, &book.entries);
    drop(progress);
    let value = json::rounded(json::gauge_book::value(&judged, &book, &study.line));
    let chart = gauge_curves::chart(
        &judged,
        &neutral(&study.line.heading.title),
        units,
        &study.line.geometry,
    );
    let sheet = page::of_book(&judged, &book, &study.line, units);
    let folder = common
        .out
        .clone()
        .or_else(|| (!common.json).then(|| beside(&arguments.site, "-log-results")));
    if let Some(folder) = &folder {
        let mut inputs = site::files_read(&site);
        inputs.extend(books);
        folder::write(
            folder,
            &[
                ("result.json".to_owned(), json::printed(&value).into_bytes()),
                ("gauge.svg".to_owned(), chart.into_bytes()),
                ("report.html".to_owned(), sheet.into_bytes()),
            ],
            &inputs,
        )?;
    }
    if common.brief {
        let text = told::text(
            &judged,
            &book,
            &study.line,
            units,
            &Look {
                width: 10_000,
                ..look()
            },
        );
        let lines: Vec<&str> = text
            .lines()
            .map(str::trim)
            .filter(|l| !l.is_empty())
            .collect();
        print(&json::printed(
            &serde_json::json!({"lines": lines, "rows": book.rows}),
        ))?;
    } else if common.json {
        print(&json::printed(&value))?;
    } else if !common.quiet {
        let mut text = told::text(&judged, &book, &study.line, units, &look());
        if let Some(folder) = &folder {
            text.push_str(&format!(
                "The page with the curves: {}\n",
                folder.join("report.html").display()
            ));
        }
        print(&text)?;
    }
    Ok(ExitCode::SUCCESS)
}
