//! shopping.csv: what to buy, row by row.

use super::words::{device_word, joint_word};
use super::{Cell, Csv};
use crate::laying::{Count, Item, Laying, Why};
use crate::pipe::FittingKind;
use crate::text::Fault;

/// What an item is called.
pub fn item_word(item: &Item) -> String {
    match item {
        Item::Coil => "pipe in coils".to_owned(),
        Item::Stick => "pipe in sticks".to_owned(),
        Item::Joint(joint) => format!("{} joint", joint_word(*joint)),
        Item::Elbow(rad) => format!("elbow {:.4} degrees", rad.to_degrees()).replace(".0000", ""),
        Item::Reducer => "reducer".to_owned(),
        Item::Fitting(kind) => fitting_word(*kind).to_owned(),
        Item::Vent(device) => device_word(*device).to_owned(),
        Item::Drain => "drain cock".to_owned(),
        Item::Anchor => "anchor".to_owned(),
        Item::Strap => "strap".to_owned(),
        Item::Support => "support".to_owned(),
        Item::Guide => "guide".to_owned(),
        Item::Relief => "relief valve".to_owned(),
        Item::Concrete => "concrete".to_owned(),
    }
}

/// A fitting's word.
pub fn fitting_word(kind: FittingKind) -> &'static str {
    match kind {
        FittingKind::GateValve => "gate valve",
        FittingKind::BallValve => "ball valve",
        FittingKind::ButterflyValve => "butterfly valve",
        FittingKind::GlobeValve => "globe valve",
        FittingKind::CheckValve => "check valve",
        FittingKind::Elbow => "elbow",
        FittingKind::Mitre => "mitre",
        FittingKind::Reducer => "reducer",
        FittingKind::Enlargement => "enlargement",
        FittingKind::TeeRun => "tee run",
        FittingKind::TeeBranch => "tee branch",
        FittingKind::Wye => "wye",
        FittingKind::Union => "union",
        FittingKind::Strainer => "strainer",
        FittingKind::Meter => "meter",
        FittingKind::Other => "fitting",
    }
}

/// What is counted.
pub fn unit_word(unit: Count) -> &'static str {
    match unit {
        Count::Pieces => "pieces",
        Count::CubicMetres => "m3",
    }
}

/// Why a row is there.
pub fn why_word(why: Why) -> &'static str {
    match why {
        Why::Planned => "planned pipe",
        Why::Laying => "laying",
        Why::Air => "air and water",
        Why::Forces => "forces",
        Why::Declared => "named in the site file",
    }
}

/// The sheet; `None` where there is nothing to buy.
///
/// # Errors
/// None in practice: the sheet is in memory.
pub fn sheet(laying: &Laying) -> Result<Option<Vec<u8>>, Fault> {
    if laying.shopping.is_empty() {
        return Ok(None);
    }
    let mut sheet = Csv::new(&[
        "item",
        "spec",
        "bore_mm",
        "count",
        "spare",
        "unit",
        "each_m",
        "mass_kg",
        "price",
        "holds_n",
        "takes_bar",
        "stations_m",
        "why",
    ])?;
    for row in &laying.shopping {
        let decimals = match row.unit {
            Count::Pieces => 0,
            Count::CubicMetres => 2,
        };
        let stations: Vec<String> = row.stations_m.iter().map(|s| format!("{s:.0}")).collect();
        sheet.row(&[
            Cell::text(item_word(&row.item)),
            Cell::text(&row.spec),
            Cell::maybe(row.bore_m.map(|m| m * 1e3), 1),
            Cell::Figure(row.count, decimals),
            Cell::Figure(row.spare, decimals),
            Cell::text(unit_word(row.unit)),
            Cell::maybe(row.each_m, 1),
            Cell::maybe(row.mass_kg, 0),
            Cell::maybe(row.price, 2),
            Cell::maybe(row.force_n, 0),
            Cell::maybe(row.rating_pa.map(|pa| pa / 1e5), 1),
            Cell::text(stations.join(" ")),
            Cell::text(why_word(row.why)),
        ])?;
    }
    sheet.bytes().map(Some)
}
