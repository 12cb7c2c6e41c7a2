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

use super::member::{Member, OpenedFile};
use crate::reading::Reading;
use crate::text::Fault;

/// Reads a spreadsheet whose parts were unpacked, an XLSX or an ODS.
pub(super) fn read(
    members: &[Member],
    xlsx: bool,
    known: OpenedFile<'_>,
) -> Result<Reading, Fault> {
    #[cfg(feature = "spreadsheets")]
    {
        let cells = if xlsx { cells::of_xlsx } else { cells::of_ods };
        chosen::read(&cells(members, known.file)?, known)
    }
    #[cfg(not(feature = "spreadsheets"))]
    {
        let _ = members;
        let name = if xlsx { "XLSX" } else { "ODS" };
        let what = format!("a spreadsheet ({name})");
        Err(super::foreign::left_out(known.file, &what, "spreadsheets"))
    }
}
