//! Any file of a survey to its readings: what kind it is, what is packed in it, its sheets with their heads and cells.

mod angle_sheet;
mod booked;
mod bundle;
mod content;
mod foreign;
mod heads;
pub mod hose;
mod level_sheet;
mod member;
mod packed;
mod points;
mod read;
mod same;
mod share;
mod so_far;
mod table;
mod trade;
mod workbook;

pub use bundle::Bundle;
pub use read::{read, read_bytes, together};
pub use so_far::{BookSoFar, RowSoFar, book_so_far};
