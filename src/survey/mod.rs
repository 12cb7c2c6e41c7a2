//! Files to readings to points with heights and their doubt.

pub mod angle;
mod angle_sheet;
mod booked;
mod bundle;
mod condition;
mod content;
mod foreign;
pub mod gpx;
mod heads;
pub mod hose;
pub mod level;
mod level_sheet;
mod member;
pub mod net;
mod options;
mod packed;
mod points;
pub mod pressure;
mod read;
mod reading;
mod same;
mod share;
mod slip;
mod so_far;
mod table;
pub mod tape;
mod trade;
pub mod traverse;
mod walks;
mod workbook;

pub use bundle::Bundle;
pub use options::{LevellingOrder, ReadOptions, Spread, WalkDevice};
pub use read::{read, read_bytes, together};
pub use reading::{
    Book, BookPoint, Data, Fix, Method, Misclosure, NamedPlace, Pass, Position, Reading, Source,
};
pub use slip::CellError;
pub use so_far::{BookSoFar, RowSoFar, book_so_far};
pub use tape::Tape;

/// A time as ISO 8601 writes it (`2026-05-14T09:30:00Z`), in seconds since the start of 1970 UTC; a day without a time is its midnight, a time without a zone is taken as UTC. `None` where the text is no such time.
pub fn clock_s(text: &str) -> Option<f64> {
    gpx::time_of(text)
}
