//! The names of cells in an XLSX workbook (`B12`, `A1:F1`), held before they are counted with: a long one has no place in any sheet.

use crate::text::{Fault, Place};
use quick_xml::Reader;
use quick_xml::events::Event;

/// Most letters and digits of a cell's name: XFD and 1048576 are the last that a sheet has.
const LETTERS: usize = 3;
const DIGITS: usize = 7;

/// Elements that name cells by `r` or `ref`; others (colours, arrows) mean something else by these letters.
const NAMING: [&str; 6] = ["c", "row", "f", "dimension", "mergeCell", "table"];

/// Refuses a part of a workbook in which a cell's name can be none.
pub(super) fn hold(bytes: &[u8], file: &str, part: &str) -> Result<(), Fault> {
    let text = String::from_utf8_lossy(bytes);
    let mut xml = Reader::from_str(&text);
    // As loosely as the cells are read later: what ends under another name than it began is no end to them.
    xml.config_mut().check_end_names = false;
    xml.config_mut().check_comments = false;
    loop {
        let event = match xml.read_event() {
            Ok(Event::Eof) => break,
            Ok(event) => event,
            Err(quick_xml::Error::IllFormed(_)) => continue,
            // What is no XML is told by who reads it.
            Err(_) => break,
        };
        let (Event::Start(tag) | Event::Empty(tag)) = &event else {
            continue;
        };
        let local = tag.name().0.rsplit(':').next().unwrap_or("");
        if !NAMING.contains(&local) {
            continue;
        }
        for attribute in tag.attributes().with_checks(false).flatten() {
            if matches!(attribute.key.0, "r" | "ref") && !is_range(&attribute.value) {
                let found: String = attribute.value.chars().take(40).collect();
                return Err(
                    Fault::new(Place::file(file), "this cell name is not possible")
                        .found(format!("{found} in {part}"))
                        .expected("letters and a number, for example B12")
                        .advice("open the workbook and save it again, or save the sheet as CSV"),
                );
            }
        }
    }
    Ok(())
}

/// A cell, a row, or a range whose end does not stand before its beginning.
fn is_range(text: &str) -> bool {
    let mut ends = text.split(':').map(place);
    match (ends.next(), ends.next(), ends.next()) {
        (Some(Some(_)), None, _) => true,
        (Some(Some(a)), Some(Some(b)), None) => a.0 <= b.0 && a.1 <= b.1,
        _ => false,
    }
}

/// Column and row of a cell's name; column 0 where it names a row.
fn place(text: &str) -> Option<(u32, u32)> {
    let letters = text.bytes().take_while(u8::is_ascii_alphabetic).count();
    let (letters, digits) = text.split_at_checked(letters)?;
    if letters.len() > LETTERS || digits.is_empty() || digits.len() > DIGITS {
        return None;
    }
    let column = letters.bytes().fold(0, |column, letter| {
        column * 26 + u32::from(letter.to_ascii_uppercase() - b'A') + 1
    });
    let row = digits.bytes().all(|b| b.is_ascii_digit());
    row.then(|| digits.parse().ok())
        .flatten()
        .map(|row| (column, row))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_that_can_be_and_that_cannot() {
        for good in ["B12", "XFD1048576", "A1:F1", "12", "a1:B2"] {
            assert!(is_range(good), "{good}");
        }
        for bad in [
            "",
            "B",
            "ABCD1",
            "A12345678",
            "C5:A1",
            "A1:",
            "A-1",
            "A1:B2:C3",
        ] {
            assert!(!is_range(bad), "{bad}");
        }
        for part in [
            &b"<c r=\"spreadsheetml6\"/>"[..],
            // an end of another name, an end too many, bytes that are no text: the cells are read all the same
            b"<row><v></w><c r=\"spreadsheetml6\"/></row>",
            b"</row><c r=\"spreadsheetml6\"/>",
            b"<v>\xFF</v><c r=\"spreadsheetml6\"/>",
        ] {
            let fault = hold(part, "b.xlsx", "sheet1.xml").unwrap_err();
            assert!(
                fault.text.contains("this cell name is not possible"),
                "{fault}"
            );
        }
    }
}
