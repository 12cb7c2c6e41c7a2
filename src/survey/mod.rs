//! Files to readings to points with heights and their doubt.

pub mod angle;
mod angle_sheet;
mod booked;
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
mod read;
mod reading;
mod same;
mod share;
mod slip;
mod table;
pub mod tape;
mod trade;
pub mod traverse;
mod walks;
mod workbook;

pub use options::{Order, ReadOptions, Spread};
pub use read::{read, read_bytes, together};
pub use reading::{
    Book, BookPoint, Data, Fix, Method, Misclosure, NamedPlace, Pass, Position, Reading,
};
pub use slip::Slip;
pub use tape::Tape;
