//! Files to readings to points with heights and their doubt.

pub mod gpx;
mod options;
mod read;
mod reading;
pub mod tape;

pub use options::{Order, ReadOptions, Spread};
pub use read::{read, read_bytes};
pub use reading::{
    Book, BookPoint, Data, Fix, Method, Misclosure, NamedPlace, Pass, Position, Reading,
};
pub use tape::Tape;
