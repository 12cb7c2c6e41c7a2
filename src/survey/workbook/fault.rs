//! What is said of a workbook that no reader opens.

use crate::text::{Fault, Place};

pub(super) fn broken(file: &str, why: &impl std::fmt::Display) -> Fault {
    let why: String = why.to_string().chars().take(200).collect();
    Fault::new(Place::file(file), "the workbook cannot be read")
        .found(why)
        .expected("a file that a spreadsheet program saved")
        .advice("open the workbook and save it again, or save the sheet as CSV")
}
