//! Files for other programs and for work on the hill: CSV sheets and a workbook, field sheets, GPX, KML, GeoJSON and DXF.

/// The section and the plan for drawing programs.
pub mod dxf;
/// Field sheets to print and write on.
pub mod field;
/// laying.csv.
pub mod laying;
/// Units of the sheets.
pub mod measure;
mod pegged;
/// Marks for other programs.
pub mod places;
mod sheet;
/// shopping.csv.
pub mod shopping;
/// stakes.csv.
pub mod stakes;
/// stations.csv.
pub mod stations;
mod workbook;

pub use sheet::{Csv, CsvCell, guarded};
pub use workbook::workbook;
