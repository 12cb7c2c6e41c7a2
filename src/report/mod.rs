//! A study with what was found in it, and what every way of telling it shares: the answers, the first screen, lists, sheets of cells, prices.

/// A study with what was found in it.
pub mod account;
/// What everybody asks, answered.
pub mod answer;
/// The answer in short.
pub mod brief;
pub(crate) mod built;
pub(crate) mod first_screen;
pub(crate) mod laying_list;
pub(crate) mod marked;
/// Units of the sheets.
pub(crate) mod measure;
pub(crate) mod pegged;
/// The user's price list.
pub mod prices;
pub(crate) mod round;
mod sheet;

pub use sheet::{Csv, CsvCell, guarded};
