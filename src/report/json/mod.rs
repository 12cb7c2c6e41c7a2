//! result.json: the shape that other programs read.

mod air;
mod buried;
mod codes;
mod drawn_section;
mod found;
mod gauging;
mod holds;
mod instruments;
mod marked;
mod metal;
mod proof;
mod round;
mod route;
mod running;
mod solids;
mod storm;
mod strong;
mod surge;
mod whole;
mod work;

pub use found::findings;
pub use holds::{bearing_deg, place_word};
pub use marked::Marked;
pub use round::rounded;
pub use running::{largest, losses};
pub use strong::vents_on;
pub use whole::{FORMAT, of_check, of_storm, of_survey, printed, vented_by};
