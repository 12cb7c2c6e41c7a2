//! The cells of a workbook, page by page, as text.

use super::fault::broken;
use super::{grown, named};
use crate::survey::booked::MOST_ROWS;
use crate::survey::member::Member;
use crate::text::Fault;
use calamine::{CellErrorType, Data, DataRef, ExcelDateTime, Ods, Reader, Xlsx};
use std::collections::BTreeMap;
use std::io::{Cursor, Write};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

/// Most columns that are looked at: a survey has a dozen.
const MOST_COLUMNS: u32 = 64;

/// A page of a workbook: its filled cells by row number from 1 and column from 0.
pub(super) struct WorkbookPage {
    pub(super) name: String,
    pub(super) rows: Vec<(u32, Vec<(u32, String)>)>,
    pub(super) columns: u32,
}

/// The letters of a column, from 0: A, B, ... AA.
pub(super) fn column_name(column: u32) -> String {
    let mut name = String::new();
    let mut left = column + 1;
    while left > 0 {
        let letter = u8::try_from((left - 1) % 26).unwrap_or(0);
        name.insert(0, char::from(b'A' + letter));
        left = (left - 1) / 26;
    }
    name
}

/// The parts packed anew, as they are: whatever the list of the archive claims of them is gone.
fn packed(
    members: &[Member],
    file: &str,
    mend: impl Fn(&Member) -> Option<Vec<u8>>,
) -> Result<Cursor<Vec<u8>>, Fault> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    for member in members {
        let mended = mend(member);
        let bytes = mended.as_deref().unwrap_or(&member.bytes);
        writer
            .start_file(member.name.as_str(), options)
            .map_err(|why| broken(file, &why))?;
        writer.write_all(bytes).map_err(|why| broken(file, &why))?;
    }
    let mut whole = writer.finish().map_err(|why| broken(file, &why))?;
    whole.set_position(0);
    Ok(whole)
}

/// The cells of a page while they are gathered.
#[derive(Default)]
struct GatheredCells {
    rows: BTreeMap<u32, Vec<(u32, String)>>,
    columns: u32,
}

impl GatheredCells {
    fn take(&mut self, row: u32, column: u32, text: String) -> bool {
        if text.trim().is_empty() || column >= MOST_COLUMNS {
            return true;
        }
        self.columns = self.columns.max(column + 1);
        let cells = self.rows.entry(row + 1).or_default();
        // A cell that stands twice is none of ours: the last one counts.
        cells.retain(|c| c.0 != column);
        cells.push((column, text));
        self.rows.len() <= MOST_ROWS + 100
    }

    fn page(mut self, name: String) -> WorkbookPage {
        for cells in self.rows.values_mut() {
            cells.sort();
        }
        WorkbookPage {
            name,
            rows: self.rows.into_iter().collect(),
            columns: self.columns,
        }
    }
}

/// The pages of an XLSX workbook.
pub(super) fn of_xlsx(members: &[Member], file: &str) -> Result<Vec<WorkbookPage>, Fault> {
    // Whatever its name: a part is found by what the workbook says of it.
    for member in members {
        named::hold(&member.bytes, file, &member.name)?;
    }
    // The list of texts states how many there are, and room would be made for as many as it says.
    let clean = packed(members, file, |member| {
        let own = member.name.to_ascii_lowercase();
        own.ends_with("sharedstrings.xml")
            .then(|| without_count(&member.bytes))
    })?;
    let mut book: Xlsx<_> = Xlsx::new(clean).map_err(|why| broken(file, &why))?;
    let mut pages = Vec::new();
    for name in book.sheet_names() {
        let Ok(mut reader) = book.worksheet_cells_reader(&name) else {
            // A page of drawings has no cells.
            continue;
        };
        let mut gathered = GatheredCells::default();
        while let Some(cell) = reader.next_cell().map_err(|why| broken(file, &why))? {
            let (row, column) = cell.get_position();
            if !gathered.take(row, column, of_ref(cell.get_value())) {
                break;
            }
        }
        pages.push(gathered.page(name));
    }
    Ok(pages)
}

fn without_count(bytes: &[u8]) -> Vec<u8> {
    let mut out = bytes.to_vec();
    let name = b"uniqueCount";
    let mut at = 0;
    while let Some(found) = out
        .get(at..)
        .and_then(|rest| rest.windows(name.len()).position(|w| w == name))
    {
        at += found;
        if let Some(first) = out.get_mut(at) {
            *first = b'x';
        }
    }
    out
}

/// The pages of an ODS workbook.
pub(super) fn of_ods(members: &[Member], file: &str) -> Result<Vec<WorkbookPage>, Fault> {
    for member in members.iter().filter(|m| m.name == "content.xml") {
        grown::hold(&member.bytes, file)?;
    }
    let clean = packed(members, file, |_| None)?;
    let mut book: Ods<_> = Ods::new(clean).map_err(|why| broken(file, &why))?;
    let mut pages = Vec::new();
    for name in book.sheet_names() {
        let range = book
            .worksheet_range(&name)
            .map_err(|why| broken(file, &why))?;
        let (top, left) = range.start().unwrap_or((0, 0));
        let mut gathered = GatheredCells::default();
        for (row, column, value) in range.used_cells() {
            let row = top.saturating_add(u32::try_from(row).unwrap_or(u32::MAX));
            let column = left.saturating_add(u32::try_from(column).unwrap_or(u32::MAX));
            if row == u32::MAX || !gathered.take(row, column, of_data(value)) {
                break;
            }
        }
        pages.push(gathered.page(name));
    }
    Ok(pages)
}

fn of_ref(value: &DataRef<'_>) -> String {
    match value {
        DataRef::Int(n) => n.to_string(),
        DataRef::Float(x) => x.to_string(),
        DataRef::String(text) | DataRef::DateTimeIso(text) | DataRef::DurationIso(text) => {
            text.clone()
        }
        DataRef::SharedString(text) => (*text).to_owned(),
        DataRef::Bool(yes) => yes.to_string(),
        DataRef::DateTime(when) => date(*when),
        DataRef::Error(error) => error_text(error),
        DataRef::Empty => String::new(),
    }
}

fn of_data(value: &Data) -> String {
    match value {
        Data::Int(n) => n.to_string(),
        Data::Float(x) => x.to_string(),
        Data::String(text) | Data::DateTimeIso(text) | Data::DurationIso(text) => text.clone(),
        Data::Bool(yes) => yes.to_string(),
        Data::DateTime(when) => date(*when),
        Data::Error(error) => error_text(error),
        _ => String::new(),
    }
}

/// A fault of a formula, as the sheet shows it.
fn error_text(error: &CellErrorType) -> String {
    error.to_string()
}

/// A day and a time, or a time alone.
fn date(when: ExcelDateTime) -> String {
    let (year, month, day, hour, minute, second, _) = when.to_ymd_hms_milli();
    if when.is_duration() || (0.0..1.0).contains(&when.as_f64()) {
        return format!("{hour:02}:{minute:02}:{second:02}");
    }
    format!("{year:04}-{month:02}-{day:02} {hour:02}:{minute:02}:{second:02}")
}
