//! result.json: the shape that other programs read.

mod air;
mod drawn_section;
mod found;
mod found_air;
mod holds;
mod instruments;
mod route;
mod running;
/// Sizes side by side.
pub mod size;
mod storm;
mod strong;
mod surge;
mod whole;
mod work;

pub use found::findings;
pub use running::largest;
pub use whole::{FORMAT, of_check, of_storm, of_survey, printed};
