//! Where air stays, whether the line starts, vents, drains, filling and emptying.

pub mod course;
mod cure;
pub mod lock;
mod parts;
mod shut;
mod start;
pub mod sweep;
pub mod work;

pub use lock::CrestState;
pub use parts::*;
pub use shut::shut_gauge_pa;
pub use sweep::{Relation, Sweep};
pub use work::{Act, Caution, Job, Step};
