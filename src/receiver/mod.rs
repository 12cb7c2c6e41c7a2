//! How a receiver's heights err: classes of receivers, what is expected of each beforehand, and the errors of one walk as a process in its own clock.
//!
//! At the bottom of the room: heights are drawn by it, surveys are held against each other by it. The classes and where they come from: docs/basis/heights.md.

mod class;
mod errors;
mod expected;

pub use class::Class;
pub use errors::Errors;
pub(super) use errors::STATES;
pub(super) use expected::BETWEEN_WALKS_SD;
pub use expected::Expected;

/// Pace that stands for time where a file has none, m/s.
pub(super) const PACE_M_PER_S: f64 = 0.8;

/// Length over which a receiver's error in plan forgets itself, m: about a minute's walk.
pub(crate) const FORGETS_M: f64 = 48.0;
