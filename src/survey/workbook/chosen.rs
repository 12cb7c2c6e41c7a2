//! Which sheet of a workbook is the survey, and where its heads stand.

use super::cells::{WorkbookPage, column_name};
use crate::reading::Reading;
use crate::survey::booked::{self, MOST_TITLE_LINES};
use crate::survey::member::OpenedFile;
use crate::survey::trade;
use crate::text::{Cell, Fault, Place, Remark, Row, Sheet};

/// Reads the one page that holds a survey.
pub(super) fn read(pages: &[WorkbookPage], known: OpenedFile<'_>) -> Result<Reading, Fault> {
    let OpenedFile {
        file,
        kind,
        options,
        ..
    } = known;
    let names = |pages: &mut dyn Iterator<Item = &WorkbookPage>| {
        let names: Vec<&str> = pages.map(|p| p.name.as_str()).collect();
        names.join(", ")
    };
    let mut found = Vec::new();
    let mut twice = None;
    for page in pages {
        match survey_on(page, file) {
            Ok(Some(sheet)) => found.push((page, sheet)),
            Ok(None) => {}
            Err(fault) => twice = twice.or(Some(fault)),
        }
    }
    if found.len() > 1 {
        return Err(
            Fault::new(Place::file(file), "more than one sheet can be the survey")
                .found(names(&mut found.iter().map(|f| f.0)))
                .expected("one sheet with the column heads of a survey")
                .advice("save the correct sheet as CSV, or remove the other sheets"),
        );
    }
    let Some((_, (sheet, titled))) = found.into_iter().next() else {
        if let Some(fault) = twice {
            return Err(fault);
        }
        // The first page with cells says best what is lacking.
        let Some(page) = pages.iter().find(|p| !p.rows.is_empty()) else {
            return Err(Fault::new(Place::file(file), "the workbook is empty")
                .expected("a sheet with column heads in its first row")
                .advice("check the file name"));
        };
        let sheet = headed(page, file, 0, None).and_then(trade::known)?;
        return booked::read(&sheet, None, kind, options);
    };
    let mut reading = booked::read(&sheet, titled, kind, options)?;
    if pages.len() > 1 {
        let text = format!(
            "the workbook has the sheets {}. The program reads this sheet",
            names(&mut pages.iter())
        );
        reading
            .remarks
            .push(Remark::new(Place::file(&sheet.file), text));
    }
    reading.file = file.to_owned();
    Ok(reading)
}

/// The survey on a page: its heads stand in one of the first rows, or in two where the upper ones are merged over others or the lower ones are units.
///
/// # Errors
/// Heads of a survey of which two are the same.
fn survey_on(page: &WorkbookPage, file: &str) -> Result<Option<(Sheet, Option<Remark>)>, Fault> {
    let mut twice = None;
    for at in 0..page.rows.len().min(MOST_TITLE_LINES) {
        for with in [None, Some(at + 1)] {
            match headed(page, file, at, with).and_then(trade::known) {
                Ok(sheet) if booked::is_survey(&sheet) => {
                    return Ok(Some((sheet, title(page, file, at))));
                }
                Ok(_) => {}
                Err(fault) => {
                    let cells = page.rows.get(at).map_or(&[][..], |r| r.1.as_slice());
                    if cells.iter().filter(|c| trade::is_known(&c.1)).count() > 1 {
                        twice = twice.or(Some(fault));
                    }
                }
            }
        }
    }
    twice.map_or(Ok(None), Err)
}

fn title(page: &WorkbookPage, file: &str, at: usize) -> Option<Remark> {
    let words: Vec<String> = page
        .rows
        .iter()
        .take(at)
        .flat_map(|(_, cells)| cells.iter().map(|c| c.1.clone()))
        .collect();
    let place = Place::line(named(page, file), 1);
    (!words.is_empty()).then(|| {
        Remark::new(
            place,
            format!(
                "the rows above the column heads are not used: {}",
                words.join(" / ")
            ),
        )
    })
}

fn named(page: &WorkbookPage, file: &str) -> String {
    format!("{file}, sheet {}", page.name)
}

fn head_row(page: &WorkbookPage, at: usize, with: Option<usize>) -> Option<Row> {
    let upper = page.rows.get(at)?;
    let head = row_of(page, upper);
    let Some(lower) = with else {
        return Some(head);
    };
    let lower = row_of(page, page.rows.get(lower)?);
    Some(merged(head, &lower))
}

/// Heads in two rows: the lower one where it has a word, with the upper one's word where it is only a unit.
fn merged(upper: Row, lower: &Row) -> Row {
    let cells = upper.cells.into_iter().zip(&lower.cells);
    Row {
        line: upper.line,
        source_line: upper.source_line,
        cells: cells
            .map(|(up, low)| {
                let text = match (up.text.as_str(), low.text.as_str()) {
                    (up, "") => up.to_owned(),
                    ("", low) => low.to_owned(),
                    (up, low) if trade::is_unit(low) => {
                        format!("{up} ({})", low.trim_matches(['(', ')', '[', ']']))
                    }
                    (_, low) => low.to_owned(),
                };
                Cell { text, ..up }
            })
            .collect(),
    }
}

/// The sheet under the heads of a row.
fn headed(page: &WorkbookPage, file: &str, at: usize, with: Option<usize>) -> Result<Sheet, Fault> {
    let name = named(page, file);
    let Some(head) = head_row(page, at, with) else {
        return Err(Fault::new(
            Place::file(name),
            "the sheet has no second row of heads",
        ));
    };
    let below = with.unwrap_or(at) + 1;
    let rows = page.rows.iter().skip(below).map(|r| row_of(page, r));
    Sheet::of_rows(&name, head, rows)
}

/// A row with one cell for each column of the page. Its line shows the cells with their names, so that a caret tells which one is meant.
fn row_of(page: &WorkbookPage, (number, filled): &(u32, Vec<(u32, String)>)) -> Row {
    let mut cells = Vec::new();
    let mut shown = String::new();
    let mut filled = filled.iter().peekable();
    for column in 0..page.columns {
        let text = match filled.peek() {
            Some((at, text)) if *at == column => {
                filled.next();
                text.as_str()
            }
            _ => "",
        };
        if column > 0 {
            shown.push_str(" | ");
        }
        let begins = shown.chars().count() + 1;
        shown.push_str(&column_name(column));
        shown.push_str(&number.to_string());
        shown.push(' ');
        shown.push_str(text);
        cells.push(Cell {
            text: text.trim().to_owned(),
            line: *number,
            column: u32::try_from(begins).unwrap_or(u32::MAX),
        });
    }
    Row {
        line: *number,
        cells,
        source_line: shown,
    }
}
