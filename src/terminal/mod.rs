//! What the terminal says.

mod columns;
/// Width and paint of the terminal.
pub mod look;
mod profile;
mod rows;
/// Sizes side by side.
pub mod size;
mod whole;

pub use columns::Columns;
pub use whole::{of_check, of_storm, of_survey};
