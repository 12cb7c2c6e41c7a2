//! Thrust, blocks, slopes, heat, floods, buoyancy and supports.
//!
//! An anchor holds along the slope, a block holds thrust. Basis pages: thrust, blocks, slopes, heat, floods, buoyancy, supports.

pub mod block;
pub mod buoyant;
pub mod curves;
pub mod floods;
pub mod ground;
pub mod heat;
mod holds;
mod jointed;
mod judge;
mod parts;
pub mod penstock;
mod pushes;
pub mod slopes;
pub mod soil;
mod steel;
pub mod supports;
pub mod thrust;

pub use buoyant::{Afloat, COVER_SAFETY, Filled, NoFill, WetBy};
pub use curves::Curve;
pub use holds::{Hold, HoldWhy, LEAST_TOLD_N};
pub use jointed::{Jointed, LEAST_RUN_M};
pub use judge::judge;
pub use parts::*;
pub use soil::{BearingTable, GroundBearing};
pub use thrust::Vector;
