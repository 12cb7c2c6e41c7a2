//! Words and units in one table; terminal, page, JSON, CSV, GPX, GeoJSON; the folder, all or nothing.

/// A study with what was found in it.
pub mod account;
mod columns;
mod drawn;
/// Field sheets to print and write on.
pub mod field;
/// The results folder: written whole or not at all.
pub mod folder;
/// result.json.
pub mod json;
/// Figures by their key.
pub mod keys;
/// laying.csv.
pub mod laying;
/// Width and paint of the terminal.
pub mod look;
/// Units of the sheets.
pub mod measure;
mod moved_part;
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
/// What the longitudinal section shows.
pub mod section;
mod section_line;
mod section_row;
mod section_tag;
mod sheet;
mod sheets;
/// shopping.csv.
pub mod shopping;
/// Sizes side by side.
pub mod size;
/// stakes.csv.
pub mod stakes;
/// stations.csv.
pub mod stations;
/// What the terminal says.
pub mod terminal;
mod terminal_profile;
mod terminal_rows;
/// The words for what was found.
pub mod words;

pub use columns::Columns;
pub use sheet::{Csv, CsvCell, guarded};
pub use sheets::{sheets, storm_sheets, survey_sheets};
