//! The short road: a site file to its study, and the study to its folder.
//!
//! ```no_run
//! use std::path::Path;
//! use steadyfall::prelude::*;
//!
//! fn main() -> Result<(), Faults> {
//!     let report = check(Path::new("site.toml"))?;
//!     write(&report, Path::new("site-results"))?;
//!     Ok(())
//! }
//! ```

use crate::export::sheets;
use crate::folder;
use crate::report::prices;
use crate::{site, study};
use std::path::Path;

pub use crate::finding::{Severity, Verdict};
pub use crate::line::Line;
pub use crate::pipe::Pipe;
pub use crate::report::account::Report;
pub use crate::route::Route;
pub use crate::site::Site;
pub use crate::study::Study;
pub use crate::text::{Fault, Faults};
pub use crate::unit::Units;
pub use crate::words::Refused;

/// Reads a site file with all that it names and judges the pipe, as `steadyfall check` does.
///
/// # Errors
/// Every fault of the site file at once, or the first of another file, each with its place and what to do.
pub fn check(file: &Path) -> Result<Report, Faults> {
    let site = site::read_file(file)?;
    let units = site.units.unwrap_or_default();
    let told = |faults: Faults| {
        faults
            .into_iter()
            .map(|f| units.fault(f))
            .collect::<Faults>()
    };
    let (route, line) = study::on_line(&site).map_err(told)?;
    let prices = match &site.prices {
        Some(file) => Some(prices::read_file(&site.path_of(file))?),
        None => None,
    };
    let mut study = Study::of(route, line);
    if let (Some(prices), Some(laying)) = (prices, &mut study.laying) {
        prices.apply(laying, units);
    }
    Ok(Report::of(study, units))
}

/// Writes every file of a check into a folder, whole or not at all.
///
/// # Errors
/// A folder that cannot be made or is not ours to write; nothing of what lies there is lost then.
pub fn write(report: &Report, folder: &Path) -> Result<(), Faults> {
    folder::write(folder, &sheets(report)?, &[])?;
    Ok(())
}
