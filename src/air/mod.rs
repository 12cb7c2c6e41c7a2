//! Where air stays, whether the line starts, vents, drains, filling and emptying.

pub mod lock;
mod parts;
pub mod sweep;
pub mod work;

pub use lock::CrestState;
pub use parts::*;
pub use sweep::{Relation, Sweep};
pub use work::{Act, Caution, Job, Step};
