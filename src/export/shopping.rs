//! shopping.csv: what to buy, row by row.

use crate::laying::{Count, Laying, ShoppingItem};
use crate::report::measure::Measures;
use crate::report::pegged::Stations;
use crate::report::{Csv, CsvCell};
use crate::text::Fault;
use crate::words::{Say, item_word};

/// The sheet, in the units of the site; `None` where there is nothing to buy.
///
/// # Errors
/// None in practice: the sheet is in memory.
pub fn sheet(laying: &Laying, say: Say) -> Result<Option<Vec<u8>>, Fault> {
    if laying.shopping.is_empty() {
        return Ok(None);
    }
    let by = Measures::of(say.units);
    let us = usize::from(by.is_us());
    let places = Stations::of(say);
    let mut heads = vec![
        "item".to_owned(),
        "spec".to_owned(),
        by.bore.head("bore"),
        "count".to_owned(),
        "spare".to_owned(),
        "unit".to_owned(),
        by.length.head("each"),
        by.length.head("left"),
        by.mass.head("mass"),
        "price".to_owned(),
        by.force.head("holds"),
        by.rating.head("takes"),
    ];
    heads.extend(places.heads("stations"));
    heads.push("why".to_owned());
    let mut sheet = Csv::of(&heads)?;
    for row in &laying.shopping {
        let (unit, count): (&str, &dyn Fn(f64) -> CsvCell) = match row.unit {
            Count::Pieces => ("pieces", &|n| CsvCell::Figure(n, 0)),
            Count::CubicMetres => (by.concrete.unit(), &|n| by.concrete.cell(Some(n), 2)),
            Count::Metres => (by.length.unit(), &|n| by.length.cell(Some(n), 0)),
        };
        let mut cells = vec![
            CsvCell::text(item_word(&row.item)),
            CsvCell::text(&row.spec),
            by.bore.cell(row.bore_m, 1 + 2 * us),
            count(row.count),
            count(row.spare),
            CsvCell::text(unit),
            by.length.cell(row.each_m, 1 - us),
            by.length.cell(row.left_m, 1 - us),
            by.mass.cell(row.mass_kg, 0),
            CsvCell::maybe(row.price, 2),
            by.force.at_least(row.force_n, 0),
            if matches!(row.item, ShoppingItem::Coil | ShoppingItem::Stick) {
                by.rating.cell(row.rating_pa, 1 - us)
            } else {
                by.rating.at_least(row.rating_pa, 1 - us)
            },
        ];
        cells.extend(places.listed(&row.stations_m));
        cells.push(CsvCell::text(row.why.word()));
        sheet.row(&cells)?;
    }
    sheet.bytes().map(Some)
}
