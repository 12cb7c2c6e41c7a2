//! Files to readings to points with heights and their doubt.

pub mod angle;
mod angle_sheet;
mod condition;
pub mod gpx;
pub mod hose;
pub mod level;
mod level_sheet;
pub mod net;
mod options;
mod points;
mod read;
mod reading;
mod slip;
mod table;
pub mod tape;
pub mod traverse;

pub use options::{Order, ReadOptions, Spread};
pub use read::{read, read_bytes, together};
pub use reading::{
    Book, BookPoint, Data, Fix, Method, Misclosure, NamedPlace, Pass, Position, Reading,
};
pub use slip::Slip;
pub use tape::Tape;

/// A time as ISO 8601 writes it (`2026-05-14T09:30:00Z`), in seconds since the start of 1970 UTC; a day without a time is its midnight, a time without a zone is taken as UTC. `None` where the text is no such time.
pub fn clock_s(text: &str) -> Option<f64> {
    gpx::seconds(text)
}
