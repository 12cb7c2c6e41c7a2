//! The march along the characteristics over plain tubes: grid, nodes, valves, what the water carries on; the closed forms beside it.

pub mod closed;
pub(crate) mod grid;
mod kernel;
pub(crate) mod moc;
mod node;
mod node_grid;
mod opening_schedule;
mod pipe_series;
pub(crate) mod place;
mod quiet;
pub(crate) mod riser;
pub(crate) mod settle;
mod transient;
pub mod valve;
pub(crate) mod work;

pub use grid::{AIMED_ADJUSTMENT, Aim, MocGrid, SLIVER_ADJUSTMENT};
pub use moc::run_moc;
pub use opening_schedule::{OpeningSchedule, ScheduleStage};
pub use pipe_series::*;
pub(crate) use transient::HeadPlace;
pub use transient::{Envelope, Extreme, Floor, NarrowRiser, TransientOptions, TransientResult};
