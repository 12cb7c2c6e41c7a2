//! How large the tables of an ODS workbook grow when what is repeated in them is written out: held before that happens.

use crate::text::{Fault, Place};
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

/// Most cells: fifty thousand rows of twenty.
const MOST_CELLS: u64 = 1_000_000;

/// Refuses tables of more cells than a survey has.
pub(super) fn hold(bytes: &[u8], file: &str) -> Result<(), Fault> {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return Ok(());
    };
    let mut xml = Reader::from_str(text);
    let (mut total, mut empty_rows, mut widest) = (0u64, 0u64, 0u64);
    let (mut row, mut empty_cells, mut repeated) = (0u64, 0u64, 1u64);
    // What is no XML is told by who reads it.
    while let Ok(event) = xml.read_event() {
        match &event {
            Event::Eof => break,
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
    Fault::new(Place::file(file), "the workbook grows beyond all measure")
        .found(format!(
            "more than {MOST_CELLS} cells, most of them repeated"
        ))
        .expected(format!("at most {MOST_CELLS} cells"))
        .advice("copy the rows of the survey into a new sheet and save that")
}

fn times(tag: &BytesStart<'_>, name: &str) -> u64 {
    let found = tag
        .attributes()
        .with_checks(false)
        .flatten()
        .find(|a| a.key.0 == name);
    found.and_then(|a| a.value.parse().ok()).unwrap_or(1)
}
