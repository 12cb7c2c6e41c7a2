//! Site, route and catalogue brought onto stations: the one thing that physics sees.

mod assumed;
mod build;
mod centre;
mod counts;
mod grid;
mod gridded;
mod machine;
mod nature;
mod parts;
mod piece;
mod places;
mod plain;
mod reaches;
mod set;
mod valves;
mod whole;

pub use assumed::Assumed;
pub use build::build;
pub use counts::Watch;
pub(crate) use machine::usual_law;
pub use nature::AirFor;
pub use parts::*;
pub use piece::PieceLength;
pub use whole::{Line, Reach, Situation, Stream, WaterRange};
