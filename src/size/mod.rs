//! Pipe sizes, classes and jets side by side: screened by the steady state, the shown ones marched.
//!
//! [`study`] builds a line for every size of the catalogue that is asked for and every choice of jets, runs each, and picks what is worth showing.

mod choice;
mod chosen;
mod coarse;
mod family;
mod refusal;
mod result;
mod screen;
mod show;

pub use choice::{JetChoice, with_jets, with_pipe};
pub use family::{Family, families};
pub use refusal::NoSizes;
pub use result::{SetAside, SizeDetails, SizeOptions, SizeRefusal, SizeRow, Sizes};
pub use screen::study;
