//! shopping.csv: what to buy, row by row.

use super::words::{device_word, joint_word};
use super::{Cell, Csv};
use crate::laying::{Count, Item, Laying, Why};
use crate::text::Fault;
use crate::unit::Units;

/// What an item is called.
pub fn item_word(item: &Item) -> String {
    match item {
        Item::Coil => "pipe in coils".to_owned(),
        Item::Stick => "pipe in sticks".to_owned(),
        Item::Joint(joint) => format!("{} joint", joint_word(*joint)),
        Item::Elbow(rad) => format!("elbow {:.4} degrees", rad.to_degrees()).replace(".0000", ""),
        Item::Reducer => "reducer".to_owned(),
        Item::Fitting(kind) => kind.word().to_owned(),
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

/// A unit of the sheet: what a head says, and its size in SI.
struct Measure {
    head: &'static str,
    size: f64,
    decimals: usize,
}

const fn measure(head: &'static str, size: f64, decimals: usize) -> Measure {
    Measure {
        head,
        size,
        decimals,
    }
}

/// The units a merchant of the place uses. Feet, inches and pounds by NIST SP 811 (2008), Appendix B; a cubic yard is 27 cubic feet.
struct Measures {
    bore: Measure,
    each: Measure,
    mass: Measure,
    force: Measure,
    pressure: Measure,
    station: Measure,
    concrete: Measure,
}

const METRIC: Measures = Measures {
    bore: measure("bore_mm", 1e-3, 1),
    each: measure("each_m", 1.0, 1),
    mass: measure("mass_kg", 1.0, 0),
    force: measure("holds_n", 1.0, 0),
    pressure: measure("takes_bar", 1e5, 1),
    station: measure("stations_m", 1.0, 0),
    concrete: measure("m3", 1.0, 2),
};

const US: Measures = Measures {
    bore: measure("bore_in", 0.0254, 3),
    each: measure("each_ft", 0.3048, 0),
    mass: measure("mass_lb", 0.453_592_37, 0),
    force: measure("holds_lbf", 4.448_221_615_260_5, 0),
    pressure: measure("takes_psi", 6_894.757_293_168, 0),
    station: measure("stations_ft", 0.3048, 0),
    concrete: measure("yd3", 0.764_554_857_984, 2),
};

impl Measure {
    fn cell(&self, value: Option<f64>) -> Cell {
        Cell::maybe(value.map(|v| v / self.size), self.decimals)
    }
}

/// The sheet, in the units of the site; `None` where there is nothing to buy.
///
/// # Errors
/// None in practice: the sheet is in memory.
pub fn sheet(laying: &Laying, units: Units) -> Result<Option<Vec<u8>>, Fault> {
    if laying.shopping.is_empty() {
        return Ok(None);
    }
    let by = match units {
        Units::Metric => &METRIC,
        Units::Us => &US,
    };
    let mut sheet = Csv::new(&[
        "item",
        "spec",
        by.bore.head,
        "count",
        "spare",
        "unit",
        by.each.head,
        by.mass.head,
        "price",
        by.force.head,
        by.pressure.head,
        by.station.head,
        "why",
    ])?;
    for row in &laying.shopping {
        let (unit, count) = match row.unit {
            Count::Pieces => ("pieces", measure("", 1.0, 0)),
            Count::CubicMetres => (
                by.concrete.head,
                measure("", by.concrete.size, by.concrete.decimals),
            ),
        };
        let stations: Vec<String> = row
            .stations_m
            .iter()
            .map(|s| format!("{:.0}", s / by.station.size))
            .collect();
        sheet.row(&[
            Cell::text(item_word(&row.item)),
            Cell::text(&row.spec),
            by.bore.cell(row.bore_m),
            count.cell(Some(row.count)),
            count.cell(Some(row.spare)),
            Cell::text(unit),
            by.each.cell(row.each_m),
            by.mass.cell(row.mass_kg),
            Cell::maybe(row.price, 2),
            by.force.cell(row.force_n),
            by.pressure.cell(row.rating_pa),
            Cell::text(stations.join(" ")),
            Cell::text(why_word(row.why)),
        ])?;
    }
    sheet.bytes().map(Some)
}
