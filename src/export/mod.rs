//! Files for other programs and for the site: sheets, workbook, stakes, places, drawings to draw on; and which files a result holds.

mod as_built;
/// The section and the plan for drawing programs.
pub mod dxf;
/// Field sheets to print and write on.
pub mod field;
/// laying.csv.
pub mod laying;
/// Marks for other programs.
pub mod places;
mod sheets;
/// shopping.csv.
pub(crate) mod shopping;
/// stakes.csv.
pub(crate) mod stakes;
/// stations.csv.
pub mod stations;
mod workbook;

pub use sheets::{sheets, storm_sheets, survey_sheets};
pub use workbook::workbook;
