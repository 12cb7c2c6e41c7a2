//! result.json: the shape that other programs read.

mod holds;
mod instruments;
mod round;
mod route;
mod running;
mod storm;
mod strong;
mod surge;
mod whole;
mod work;

pub use holds::{at_word, towards_word};
pub use instruments::{cause_word, next_words};
pub use round::rounded;
pub use running::start_word;
pub use whole::{FORMAT, findings, of_check, of_storm, of_survey, printed};
pub use work::kind_word as plan_word;
