//! Movements of valves and jets: how the water answers along the line, and how slowly each must be made.
//!
//! [`mod@march`] is the core over plain tubes; `study(&Line, &[flow::Run], &Options) -> Surges` brings a line and its running states to it.

pub mod closed;
mod course;
pub mod march;
mod result;

pub use course::{Course, Stage};
pub use result::*;
