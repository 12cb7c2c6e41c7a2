//! What the terminal says: the verdict first, then what was found; its width and its paint.

mod columns;
/// A book of gauge readings.
pub mod gauge_book;
/// Width and paint of the terminal.
pub mod look;
mod profile;
mod short;
/// Sizes side by side.
pub mod size;
pub(crate) mod told;

pub use columns::Columns;
pub use told::{of_check, of_storm, of_survey};
