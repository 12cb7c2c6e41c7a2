//! Where air stays, whether the line starts, vents, drains, filling and emptying.
//!
//! Two questions, two thresholds: air gathers while running at any rise of more than half a bore; a climb locks the start only when its rise exceeds a bore.
//! Basis pages: air, sweeping, start-up, vents, filling.

pub mod course;
pub(crate) mod design;
pub mod drains;
mod gather;
mod inputs;
mod judge;
pub mod leg;
mod needs;
mod openings;
mod order;
pub mod orifice;
mod parts;
pub mod pipe_profile;
mod place_vents;
mod residual_pockets;
mod sets;
mod shut;
mod start;
pub mod startup;
pub mod sweep;
pub mod vents;
pub mod work;

pub use gather::serves;
pub use inputs::AirInputs;
pub(crate) use judge::LineAir;
pub use judge::judge;
pub use needs::draws_air;
pub use orifice::trade_size_m;
pub use startup::CrestState;
pub use sweep::{Relation, Sweep};
pub use work::{Act, AirOut, Caution, Job, NoTest, WorkStep};

pub use parts::*;
