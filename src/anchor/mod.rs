//! Thrust, blocks, slopes, heat, floods and supports.
//!
//! An anchor holds along the slope, a block holds thrust. Basis pages: thrust, blocks, slopes, heat, floods, supports.

pub mod block;
pub mod curves;
pub mod floods;
pub mod ground;
pub mod heat;
mod holds;
mod jointed;
mod judge;
mod parts;
pub mod penstock;
mod pieces;
mod pushes;
pub mod slopes;
pub mod soil;
mod steel;
mod steel_run;
mod stretches;
pub mod supports;
pub mod thrust;
mod thrusts;

pub use jointed::LEAST_RUN_M;
pub use judge::judge;
pub use parts::*;
pub use pieces::Curve;
pub use pieces::Jointed;
pub use pieces::{Hold, HoldWhy};
pub use pushes::TEST;
pub use soil::{BearingTable, GroundBearing};
pub use thrust::Vector;
