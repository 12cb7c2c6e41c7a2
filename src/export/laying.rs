//! laying.csv: the whole laying list.

use crate::report::account::Report;
use crate::report::laying_list::{cut_from, list};
use crate::report::measure::Measures;
use crate::report::pegged::Stations;
use crate::report::{Csv, CsvCell};
use crate::text::Fault;

/// laying.csv; `None` where there is nothing to lay.
///
/// # Errors
/// None in practice: the sheet is in memory.
pub fn sheet(account: &Report) -> Result<Option<Vec<u8>>, Fault> {
    let steps = list(account);
    let Some(laying) = account.study.laying.as_ref().filter(|_| !steps.is_empty()) else {
        return Ok(None);
    };
    let m = Measures::of(account.units).length;
    let places = Stations::of(account.say());
    let mut heads = vec!["step".to_owned(), "stage".to_owned(), "what".to_owned()];
    heads.extend(places.heads("from_station"));
    heads.extend(places.heads("to_station"));
    heads.extend([
        m.head("cut"),
        "cut_from".to_owned(),
        m.head("bought"),
        m.head("left"),
        "heed".to_owned(),
    ]);
    let mut sheet = Csv::of(&heads)?;
    for (number, step) in (1_u32..).zip(&steps) {
        let piece = step.piece.and_then(|i| laying.pieces.get(i));
        let mut row = vec![
            CsvCell::Figure(f64::from(number), 0),
            CsvCell::text(step.stage.word()),
            CsvCell::text(&step.what),
        ];
        row.extend(places.cells(Some(step.from_m), 3));
        row.extend(places.cells(step.to_m, 3));
        row.extend([
            m.cell(piece.map(|p| p.cut_m), 3),
            CsvCell::text(piece.and_then(cut_from).unwrap_or_default()),
            m.cell(piece.and_then(|p| p.bought_m), 1),
            m.cell(piece.map(|p| p.left_m), 3),
            CsvCell::text(&step.heed),
        ]);
        sheet.row(&row)?;
    }
    sheet.bytes().map(Some)
}
