//! shopping.csv: what to buy, row by row.

use super::measure::Measures;
use super::pegged::Stations;
use super::words::Say;
use super::words::{device_word, joint_label, label};
use super::{Cell, Csv};
use crate::laying::{Count, Item, Laying, Why, is_sold};
use crate::pipe::Surround;
use crate::text::Fault;

/// What an item is called.
pub fn item_word(item: &Item) -> String {
    match item {
        Item::Coil => "pipe in coils".to_owned(),
        Item::Stick => "pipe in straight lengths".to_owned(),
        Item::Joint(joint) => format!("{} joint", joint_label(*joint)),
        Item::Elbow(rad) => format!(
            "elbow {}{} degrees",
            if is_sold(*rad) { "" } else { "cut to " },
            (rad.to_degrees() * 4.0).round() / 4.0
        ),
        Item::Reducer => "reducer".to_owned(),
        Item::Fitting(kind) => kind.word().to_owned(),
        Item::Vent(device) => label(device_word(*device)).to_owned(),
        Item::Drain => "drain valve".to_owned(),
        Item::Anchor => "anchor".to_owned(),
        Item::Strap => "strap".to_owned(),
        Item::Support => "support".to_owned(),
        Item::Guide => "guide".to_owned(),
        Item::ExpansionJoint => "expansion joint".to_owned(),
        Item::Relief => "relief valve".to_owned(),
        Item::Concrete => "concrete".to_owned(),
        Item::Surround(Surround::Stone) => "crushed stone for bedding and surround".to_owned(),
        Item::Surround(_) => "sand for bedding and surround".to_owned(),
        Item::MarkerTape => "marker tape".to_owned(),
        Item::Weights => "concrete weights on the pipe".to_owned(),
        Item::Gasket => "flange gasket".to_owned(),
        Item::Bolt => "flange bolt with nut".to_owned(),
        Item::Trench => "trench to dig".to_owned(),
        Item::Screen => "intake screen, by its opening".to_owned(),
        Item::ScreenBar => "screen bar, by its thickness".to_owned(),
        Item::Basin => "settling basin, water and sand".to_owned(),
        Item::FlushGate => "flushing gate".to_owned(),
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
        let (unit, count): (&str, &dyn Fn(f64) -> Cell) = match row.unit {
            Count::Pieces => ("pieces", &|n| Cell::Figure(n, 0)),
            Count::CubicMetres => (by.concrete.unit(), &|n| by.concrete.cell(Some(n), 2)),
            Count::Metres => (by.length.unit(), &|n| by.length.cell(Some(n), 0)),
        };
        let mut cells = vec![
            Cell::text(item_word(&row.item)),
            Cell::text(&row.spec),
            by.bore.cell(row.bore_m, 1 + 2 * us),
            count(row.count),
            count(row.spare),
            Cell::text(unit),
            by.length.cell(row.each_m, 1 - us),
            by.length.cell(row.left_m, 1 - us),
            by.mass.cell(row.mass_kg, 0),
            Cell::maybe(row.price, 2),
            by.force.at_least(row.force_n, 0),
            if matches!(row.item, Item::Coil | Item::Stick) {
                by.rating.cell(row.rating_pa, 1 - us)
            } else {
                by.rating.at_least(row.rating_pa, 1 - us)
            },
        ];
        cells.extend(places.listed(&row.stations_m));
        cells.push(Cell::text(why_word(row.why)));
        sheet.row(&cells)?;
    }
    sheet.bytes().map(Some)
}
