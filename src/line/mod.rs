//! Site, route and catalogue brought onto stations: the one thing that physics sees.

mod parts;
mod plain;
mod whole;

pub use parts::*;
pub use whole::{Assumed, Line, Reach, Situation, Stream, WaterRange};
