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
pub mod pressure;
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
