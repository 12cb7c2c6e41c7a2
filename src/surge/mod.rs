//! Movements of valves and jets: how the water answers along the line, and how slowly each must be made.
//!
//! [`study()`] brings a line and its running states to the [`march`](crate::march).

mod build;
mod closed_form_comparison;
mod column_separation;
mod follow;
mod limits;
mod memory;
mod moves;
mod nodes;
mod request;
mod result;
mod risers;
mod search;
mod segment;
mod stand;
mod study;
mod trace;
mod transient_case;

pub(crate) use memory::MarchMemory;
pub use moves::{BY_HAND_S, QUICK_LEVER_S, RUNAWAY, hand_wheel_s};
pub(crate) use study::study_with;
pub use study::{filling, study};

pub use result::*;
