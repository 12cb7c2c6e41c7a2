//! What one survey file gives: walks with their fixes, or a book of points; and what must be known to read it.

mod given;
mod options;
mod slip;
pub mod tape;

pub use given::{
    Book, BookPoint, Data, Fix, Method, Misclosure, NamedPlace, Pass, Position, Reading, Source,
};
pub use options::{LevellingOrder, ReadOptions, Spread, WalkDevice};
pub use slip::CellError;
pub use tape::Tape;
