use super::Trouble;
use super::arguments::{Check, Common, Failing};
use super::output::{Said, beside, finish, units};
use crate::line;
use crate::report::account::Account;
use crate::report::{self, json};
use crate::site::{self, Site};
use crate::study::{Study, read_route};
use crate::text::{Fault, Place};
use std::path::Path;
use std::process::ExitCode;

/// The main job.
pub fn run(arguments: &Check) -> Result<ExitCode, Trouble> {
    match arguments.files.as_slice() {
        [file] if is_site(file) => {
            options_with_a_site_file(arguments, file)?;
            let site = read_site(file)?;
            judge(&site, file, None, &arguments.common, &arguments.failing)
        }
        _ => Err(Trouble::other(
            "check of survey files without a site file is not built yet",
        )),
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
        ("--taped", arguments.taped.is_some()),
        ("--from", arguments.from.is_some()),
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

/// Reads a site file.
pub fn read_site(file: &Path) -> Result<Site, Trouble> {
    let name = file.display().to_string();
    let bytes = read_file(file)?;
    let text = crate::text::decode(&name, &bytes)?;
    Ok(site::read_text(&name, &text.text)?)
}

/// Reads a file that the user named.
pub fn read_file(file: &Path) -> Result<Vec<u8>, Fault> {
    let name = file.display().to_string();
    let fault = |what: &str| Fault::new(Place::file(&name), what.to_owned());
    if !file.exists() {
        return Err(fault("there is no such file")
            .expected("a file")
            .advice("check the name; `steadyfall new` writes a site file to begin with"));
    }
    if !file.is_file() {
        return Err(fault("this is no file").expected("a file, not a folder or a device"));
    }
    std::fs::read(file).map_err(|e| fault("the file cannot be read").found(e.to_string()))
}

/// Judges a site and writes the results. `made` is the text of a site file that was made from options.
pub fn judge(
    site: &Site,
    first_file: &Path,
    made: Option<String>,
    common: &Common,
    failing: &Failing,
) -> Result<ExitCode, Trouble> {
    let route = read_route(site)?;
    let line = line::build(site, &route)?;
    let account = Account::of(Study::of(route, line), units(common.units, site.units));
    let mut sheets = report::sheets(&account)?;
    if let Some(text) = made {
        sheets.push(("site.toml".to_owned(), text.into_bytes()));
    }
    let said = Said {
        json: json::printed(&json::of_check(&account)),
        sheets,
        text: report::terminal::of_check(&account),
    };
    finish(
        &said,
        &beside(first_file, "-results"),
        common,
        failing.fail_on,
        &account.findings,
    )
}
