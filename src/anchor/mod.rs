//! Thrust, blocks, slopes, heat, floods, buoyancy and supports.
//!
//! An anchor holds along the slope, a block holds thrust. Basis pages: thrust, blocks, slopes, heat, floods, buoyancy, supports.

pub mod block;
pub mod buoyant;
pub mod curves;
pub mod floods;
pub mod friction;
pub mod ground;
pub mod heat;
mod holds;
mod jointed;
mod judge;
mod maker;
mod parts;
pub mod penstock;
pub mod pieces;
mod pushes;
pub(crate) mod reach_parts;
pub mod slopes;
pub mod soil;
mod source;
mod steel;
pub mod supports;
pub mod thrust;

pub use buoyant::COVER_SAFETY;
pub use holds::LEAST_TOLD_N;
pub use jointed::LEAST_RUN_M;
pub use judge::judge;
pub use pieces::{Afloat, Curve, Filled, Hold, HoldWhy, Jointed, NoFill, WetBy};
pub use soil::{BearingTable, GroundBearing};
pub use source::{Sense, ThrustSource, Towards};
pub use thrust::Vector;

pub use parts::*;
