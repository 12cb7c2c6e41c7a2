//! Words and units in one table; terminal, page, JSON, CSV, GPX, GeoJSON; the folder, all or nothing.

/// A study with what was found in it.
pub mod account;
/// What everybody asks, answered.
pub mod answer;
mod as_built;
mod bearing;
/// The answer in short.
pub mod brief;
mod built;
mod columns;
mod drawn;
/// The section and the plan for drawing programs.
pub mod dxf;
/// Field sheets to print and write on.
pub mod field;
mod first_screen;
/// The results folder: written whole or not at all.
pub mod folder;
/// A book of gauge readings.
pub mod gauge_book;
pub mod gauge_curves;
/// result.json.
pub mod json;
/// laying.csv.
pub mod laying;
mod laying_list;
/// Width and paint of the terminal.
pub mod look;
mod marked;
/// Units of the sheets.
pub(crate) mod measure;
mod moved_part;
pub(crate) mod moved_told;
/// What the overlay of a comparison shows.
pub mod moved_view;
/// report.html.
pub mod page;
mod pegged;
/// Marks for other programs.
pub mod places;
/// What the plan shows.
mod plan_push;
pub mod plan_view;
/// The user's price list.
pub mod prices;
mod round;
/// What the longitudinal section shows.
pub mod section;
mod section_line;
mod section_row;
mod section_tag;
mod sheet;
mod sheets;
/// shopping.csv.
pub(crate) mod shopping;
/// Sizes side by side.
pub mod size;
/// stakes.csv.
pub(crate) mod stakes;
/// stations.csv.
pub mod stations;
/// What the terminal says.
pub mod terminal;
mod terminal_profile;
mod terminal_short;
/// The words for what was found.
pub mod words;
mod workbook;

pub use columns::Columns;
pub use sheet::{Csv, CsvCell, guarded};
pub use sheets::{sheets, storm_sheets, survey_sheets};
pub use workbook::workbook;
