//! Movements of valves and jets: how the water answers along the line, and how slowly each must be made.
//!
//! [`mod@march`] is the core over plain tubes; [`study()`] brings a line and its running states to it.

mod beside;
mod build;
mod chain;
pub mod closed;
mod course;
mod follow;
mod grid;
mod hard;
mod kernel;
mod limits;
mod looking;
pub mod march;
mod marched;
mod moves;
mod node;
mod nodes;
mod parting;
mod quiet;
mod result;
mod riser;
mod risers;
mod search;
mod settle;
mod stand;
mod study;
mod trace;
pub mod valve;
mod work;

pub use chain::*;
pub use course::{Course, Stage};
pub use grid::{AIMED_ADJUSTMENT, Aim, Grid, SLIVER_ADJUSTMENT};
pub use march::march;
pub use marched::{Envelope, Extreme, Floor, Marched, Orders, Riser};
pub use moves::{BY_HAND_S, QUICK_LEVER_S, RUNAWAY, hand_wheel_s};
pub use result::*;
pub use study::{filling, study};
