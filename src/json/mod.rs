//! result.json: the shape that other programs read.

mod air;
mod block;
mod buried;
mod drawn_section;
mod found;
/// A book of gauge readings.
pub mod gauge_book;
mod gauging;
mod holds;
mod instruments;
mod metal;
mod proof;
mod route;
mod running;
#[cfg(test)]
mod schema;
/// Sizes side by side.
pub mod size;
mod solids;
mod storm;
mod strong;
mod surge;
mod whole;
mod work;

pub use crate::report::round::rounded;
pub use whole::{of_check, of_storm, of_survey, printed};
