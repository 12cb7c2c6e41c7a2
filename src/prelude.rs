//! The short road: a site file to its study, and the study to its folder.

use crate::{folder, line, report, site, study};
use std::path::Path;

pub use crate::line::Line;
pub use crate::route::Route;
pub use crate::site::Site;
pub use crate::study::Study;
pub use crate::text::{Fault, Faults};
pub use crate::unit::Units;
pub use crate::words::account::Report;

/// Reads a site file with its surveys and judges the pipe, as `steadyfall check` does.
///
/// # Errors
/// Every fault of the site file at once, or the first of a survey, each with its place and what to do.
pub fn check(file: &Path) -> Result<Report, Faults> {
    let site = site::read_file(file)?;
    let route = study::read_route(&site)?;
    let line = line::build(&site, &route)?;
    let units = site.units.unwrap_or_default();
    Ok(Report::of(Study::of(route, line), units))
}

/// Writes every file of a check into a folder, whole or not at all.
///
/// # Errors
/// Where a file cannot be made, or the folder is not ours to write.
pub fn write(report: &Report, folder: &Path) -> Result<(), Faults> {
    let files = report::sheets(report)?;
    folder::write(folder, &files, &[])?;
    Ok(())
}
