//! How large the tables of an ODS workbook grow when what is repeated in them is written out: held before that happens.

use super::fault::broken;
use crate::text::{Fault, Place};
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

/// Most cells: fifty thousand rows of twenty.
const MOST_CELLS: u64 = 1_000_000;

/// Refuses tables of more cells than a survey has, and text whose elements do not close: a reader of cells would wait for their ends for ever.
pub(super) fn hold(bytes: &[u8], file: &str) -> Result<(), Fault> {
    let text = std::str::from_utf8(bytes).map_err(|why| broken(file, &why))?;
    let mut xml = Reader::from_str(text);
    let mut open = 0u64;
    let (mut total, mut empty_rows, mut widest) = (0u64, 0u64, 0u64);
    let (mut row, mut empty_cells, mut repeated) = (0u64, 0u64, 1u64);
    loop {
        let event = xml.read_event().map_err(|why| broken(file, &why))?;
        match &event {
            Event::Start(_) => open += 1,
            Event::End(_) => open = open.saturating_sub(1),
            Event::Eof if open > 0 => {
                return Err(broken(file, &"an element of its content does not end"));
            }
            Event::Eof => break,
            _ => {}
        }
        match &event {
            Event::Start(tag) | Event::Empty(tag) => match tag.name().0 {
                "table:table" => (empty_rows, widest) = (0, 0),
                "table:table-row" => {
                    repeated = times(tag, "table:number-rows-repeated");
                    (row, empty_cells) = (0, 0);
                }
                "table:table-cell" | "table:covered-table-cell" => {
                    let times = times(tag, "table:number-columns-repeated");
                    let filled = matches!(event, Event::Start(_))
                        || tag.contains("office:")
                        || tag.contains("table:formula");
                    if filled {
                        row = row.saturating_add(empty_cells).saturating_add(times);
                        empty_cells = 0;
                    } else {
                        empty_cells = empty_cells.saturating_add(times);
                    }
                    // The width is asked for in the same row, before it ends.
                    if total.saturating_add(row) > MOST_CELLS {
                        return Err(refused(file));
                    }
                }
                _ => {}
            },
            Event::End(tag) if tag.name().0 == "table:table-row" => {
                if row == 0 {
                    empty_rows = empty_rows.saturating_add(repeated);
                    continue;
                }
                widest = widest.max(row);
                let rows = empty_rows.saturating_add(repeated);
                total = total.saturating_add(rows.saturating_mul(widest));
                empty_rows = 0;
                if total > MOST_CELLS {
                    return Err(refused(file));
                }
            }
            _ => {}
        }
    }
    Ok(())
}

fn refused(file: &str) -> Fault {
    Fault::new(Place::file(file), "the workbook is too large")
        .found(format!(
            "more than {MOST_CELLS} cells, most of them repeated"
        ))
        .expected(format!("at most {MOST_CELLS} cells"))
        .advice("copy the rows of the survey into a new sheet, and save only this sheet")
}

fn times(tag: &BytesStart<'_>, name: &str) -> u64 {
    let found = tag
        .attributes()
        .with_checks(false)
        .flatten()
        .find(|a| a.key.0 == name);
    found.and_then(|a| a.value.parse().ok()).unwrap_or(1)
}
