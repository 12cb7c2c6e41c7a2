//! The user's own price list, put to what is to be bought.

use crate::laying::{Count, Laying, ShoppingItem, ShoppingRow};
use crate::text::{Fault, FileExpectation, Sheet, decode, read_bytes};
use crate::unit::Units;
use crate::unit::exact::FOOT_M;
use crate::words::item_word;
use std::path::Path;

/// What a price list must be.
pub const WANTED: FileExpectation<'_> = FileExpectation {
    what: "a price list: CSV",
    largest_bytes: 5_000_000,
    advice: "check the name and the folder",
};

/// One price.
#[derive(Debug, Clone, PartialEq)]
struct Price {
    item: String,
    /// Empty: for every pipe.
    spec: String,
    each: Option<f64>,
    /// For a metre of pipe.
    per_m: Option<f64>,
}

/// A price list.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Prices {
    rows: Vec<Price>,
}

/// Reads a list of prices from the disk, as [`read`] does.
///
/// # Errors
/// Where it cannot be read, and as [`read`].
pub fn read_file(path: &Path) -> Result<Prices, Fault> {
    read(&read_bytes(path, &WANTED)?, &path.display().to_string())
}

/// Reads a list: `item` as in shopping.csv, `price` for one piece or one volume unit, or `price_per_m` or `price_per_ft` for pipe, `spec` where a price is for one pipe alone.
///
/// # Errors
/// Where the file is no sheet, a column lacks, or a price is no number from 0.
pub fn read(bytes: &[u8], file: &str) -> Result<Prices, Fault> {
    let decoded = decode(file, bytes)?;
    let sheet = Sheet::read(file, &decoded.text)?;
    let lacks = |what: &str| {
        sheet
            .heads_fault(format!("the price list has no column {what}"))
            .expected("item, price; spec, price_per_m and price_per_ft beside them")
            .advice("copy the items from shopping.csv, and write a price beside each")
    };
    let item = sheet.column_of(&["item"]).ok_or_else(|| lacks("item"))?;
    let spec = sheet.column_of(&["spec"]);
    let (each, per_m, per_ft) = (
        sheet.column_of(&["price"]),
        sheet.column_of(&["price_per_m"]),
        sheet.column_of(&["price_per_ft"]),
    );
    if each.or(per_m).or(per_ft).is_none() {
        return Err(lacks("price"));
    }
    let mut rows = Vec::new();
    for row in &sheet.rows {
        let price = |column: Option<usize>| -> Result<Option<f64>, Fault> {
            let Some(column) = column else {
                return Ok(None);
            };
            let value = sheet.number(row, column)?;
            if value.is_some_and(|v| !(0.0..1e9).contains(&v)) {
                return Err(sheet
                    .fault(row, column, "this is no price")
                    .expected("a number from 0, without a sign of the currency")
                    .advice("correct the price, or leave the cell empty"));
            }
            Ok(value)
        };
        let text = |column: usize| sheet.text(row, column).trim().to_lowercase();
        let per_foot = price(per_ft)?.map(|p| p / FOOT_M);
        let (each, per_m) = (price(each)?, price(per_m)?.or(per_foot));
        if each.or(per_m).is_some() && !text(item).is_empty() {
            rows.push(Price {
                item: text(item),
                spec: spec.map(text).unwrap_or_default(),
                each,
                per_m,
            });
        }
    }
    Ok(Prices { rows })
}

/// A cubic yard, m3 (exact).
const CUBIC_YARD_M3: f64 = 0.764_554_857_984;

impl Prices {
    /// Puts the prices to the rows that they are for; a price for one pipe goes before one for all.
    pub fn apply(&self, laying: &mut Laying, units: Units) {
        for row in &mut laying.shopping {
            let item = item_word(&row.item).to_lowercase();
            let spec = row.spec.to_lowercase();
            let of = |own: bool| {
                self.rows.iter().find(|p| {
                    p.item == item && (p.spec == spec) == own && (own || p.spec.is_empty())
                })
            };
            if let Some(price) = of(true).or_else(|| of(false)) {
                row.price = priced(price, row, units).or(row.price);
            }
        }
    }
}

/// What all of a row costs, spare included.
fn priced(price: &Price, row: &ShoppingRow, units: Units) -> Option<f64> {
    let all = row.count + row.spare;
    let is_pipe = matches!(row.item, ShoppingItem::Coil | ShoppingItem::Stick);
    if let Some(per_m) = price.per_m.filter(|_| is_pipe) {
        return Some(per_m * all * row.each_m?);
    }
    let size = match (row.unit, units) {
        (Count::CubicMetres, Units::Us) => CUBIC_YARD_M3,
        (Count::Metres, Units::Us) => FOOT_M,
        _ => 1.0,
    };
    price.each.map(|each| each * all / size)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_without_prices_or_with_less_than_nothing_is_refused() {
        assert!(read(b"item,spec\ncoil,x\n", "p.csv").is_err());
        let fault = read(b"item,price\ndrain valve,-3\n", "p.csv").unwrap_err();
        assert_eq!(fault.place.line, Some(2));
        let list = read(b"Item;Price\nDrain valve;12,50\nanchor;\n", "p.csv").unwrap();
        assert_eq!(list.rows.len(), 1);
        assert_eq!(list.rows[0].each, Some(12.5));
    }

    #[test]
    fn a_price_for_a_foot_is_one_for_a_metre() {
        let list = read(b"item,price_per_ft\npipe in coils,3.048\n", "p.csv").unwrap();
        assert!((list.rows[0].per_m.unwrap() - 10.0).abs() < 1e-12);
    }
}
