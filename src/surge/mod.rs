//! Movements of valves and jets: how the water answers along the line, and how slowly each must be made.
//!
//! [`mod@march`] is the core over plain tubes; `study(&Line, &[flow::Run], &Options) -> Surges` brings a line and its running states to it.

mod chain;
pub mod closed;
mod course;
mod grid;
mod kernel;
pub mod march;
mod marched;
mod node;
mod result;
pub mod valve;

pub use chain::*;
pub use course::{Course, Stage};
pub use grid::{AIMED_ADJUSTMENT, Aim, Grid};
pub use march::march;
pub use marched::{Envelope, Extreme, Floor, Marched, Orders};
pub use result::*;
