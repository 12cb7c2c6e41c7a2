//! Spreadsheets (XLSX, ODS): the one sheet of a workbook whose heads are a survey's, as a sheet of cells. The crate `calamine` reads the cells.

#[cfg(feature = "spreadsheets")]
mod cells;
#[cfg(feature = "spreadsheets")]
mod chosen;
#[cfg(feature = "spreadsheets")]
mod fault;
#[cfg(feature = "spreadsheets")]
mod grown;
#[cfg(feature = "spreadsheets")]
mod named;

use super::member::Member;
use crate::reading::{Method, ReadOptions, Reading};
use crate::text::Fault;

/// Reads an XLSX workbook whose parts were unpacked.
pub(super) fn xlsx(
    members: &[Member],
    file: &str,
    kind: Option<Method>,
    options: &ReadOptions,
) -> Result<Reading, Fault> {
    #[cfg(feature = "spreadsheets")]
    return chosen::read(&cells::of_xlsx(members, file)?, file, kind, options);
    #[cfg(not(feature = "spreadsheets"))]
    {
        let _ = (members, kind, options);
        Err(super::foreign::left_out(
            file,
            "a spreadsheet (XLSX)",
            "spreadsheets",
        ))
    }
}

/// Reads an ODS workbook whose parts were unpacked.
pub(super) fn ods(
    members: &[Member],
    file: &str,
    kind: Option<Method>,
    options: &ReadOptions,
) -> Result<Reading, Fault> {
    #[cfg(feature = "spreadsheets")]
    return chosen::read(&cells::of_ods(members, file)?, file, kind, options);
    #[cfg(not(feature = "spreadsheets"))]
    {
        let _ = (members, kind, options);
        Err(super::foreign::left_out(
            file,
            "a spreadsheet (ODS)",
            "spreadsheets",
        ))
    }
}
