//! shopping.csv: what to buy, row by row.

use super::measure::Measures;
use super::pegged::Stations;
use super::words::Say;
use super::words::{device_word, joint_label, label};
use super::{Csv, CsvCell};
use crate::laying::{Count, Laying, ShoppingItem, Why, is_sold};
use crate::pipe::Surround;
use crate::text::Fault;

/// What an item is called.
pub fn item_word(item: &ShoppingItem) -> String {
    match item {
        ShoppingItem::Coil => "pipe in coils".to_owned(),
        ShoppingItem::Stick => "pipe in straight lengths".to_owned(),
        ShoppingItem::Joint(joint) => format!("{} joint", joint_label(*joint)),
        ShoppingItem::Elbow(rad) => format!(
            "elbow {}{} degrees",
            if is_sold(*rad) { "" } else { "cut to " },
            (rad.to_degrees() * 4.0).round() / 4.0
        ),
        ShoppingItem::Reducer => "reducer".to_owned(),
        ShoppingItem::Fitting(kind) => kind.word().to_owned(),
        ShoppingItem::Vent(device) => label(device_word(*device)).to_owned(),
        ShoppingItem::Drain => "drain valve".to_owned(),
        ShoppingItem::Anchor => "anchor".to_owned(),
        ShoppingItem::Strap => "strap".to_owned(),
        ShoppingItem::Support => "support".to_owned(),
        ShoppingItem::Guide => "guide".to_owned(),
        ShoppingItem::ExpansionJoint => "expansion joint".to_owned(),
        ShoppingItem::Relief => "relief valve".to_owned(),
        ShoppingItem::Concrete => "concrete".to_owned(),
        ShoppingItem::Surround(Surround::Stone) => {
            "crushed stone for bedding and surround".to_owned()
        }
        ShoppingItem::Surround(_) => "sand for bedding and surround".to_owned(),
        ShoppingItem::MarkerTape => "marker tape".to_owned(),
        ShoppingItem::Weights => "concrete weights on the pipe".to_owned(),
        ShoppingItem::Gasket => "flange gasket".to_owned(),
        ShoppingItem::Bolt => "flange bolt with nut".to_owned(),
        ShoppingItem::Trench => "trench to dig".to_owned(),
        ShoppingItem::Screen => "intake screen, by its opening".to_owned(),
        ShoppingItem::ScreenBar => "screen bar, by its thickness".to_owned(),
        ShoppingItem::Basin => "settling basin, water and sand".to_owned(),
        ShoppingItem::FlushGate => "flushing gate".to_owned(),
    }
}

/// What is counted.
pub fn unit_word(unit: Count) -> &'static str {
    match unit {
        Count::Pieces => "pieces",
        Count::CubicMetres => "m3",
        Count::Metres => "m",
    }
}

/// Why a row is there.
pub fn why_word(why: Why) -> &'static str {
    match why {
        Why::Planned => "planned pipe",
        Why::Laying => "laying",
        Why::Air => "air and water",
        Why::Forces => "forces",
        Why::Declared => "given in the site file",
    }
}

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
        cells.push(CsvCell::text(why_word(row.why)));
        sheet.row(&cells)?;
    }
    sheet.bytes().map(Some)
}
