//! Movements of valves and jets: how the water answers along the line, and how slowly each must be made.
//!
//! [`run_moc()`] is the core over plain tubes; [`study()`] brings a line and its running states to it.

mod build;
pub mod closed;
mod closed_form_comparison;
mod column_separation;
mod follow;
mod grid;
mod kernel;
mod limits;
mod memory;
pub(crate) mod moc;
mod moves;
mod node;
mod node_grid;
mod nodes;
mod opening_schedule;
mod pipe_series;
mod place;
mod quiet;
mod request;
mod result;
mod riser;
mod risers;
mod search;
mod segment;
mod settle;
mod stand;
mod study;
mod trace;
mod transient;
mod transient_case;
pub mod valve;
mod work;

pub use grid::{AIMED_ADJUSTMENT, Aim, MocGrid, SLIVER_ADJUSTMENT};
pub(crate) use memory::MarchMemory;
pub use moc::run_moc;
pub use moves::{BY_HAND_S, QUICK_LEVER_S, RUNAWAY, hand_wheel_s};
pub use opening_schedule::{OpeningSchedule, ScheduleStage};
pub(crate) use study::study_with;
pub use study::{filling, study};
pub(crate) use transient::HeadPlace;
pub use transient::{Envelope, Extreme, Floor, NarrowRiser, TransientOptions, TransientResult};

pub use pipe_series::*;
pub use result::*;
