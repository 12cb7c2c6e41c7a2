//! Bends held against the pipe, pieces and joints in their places, the laying list and the shopping list.

mod avoid;
mod bends;
mod elbow;
mod pieces;
mod plan;
mod shopping;
mod stock;

pub use avoid::{Avoid, AvoidWhy};
pub use bends::{BendCheck, OFF_LINE_M, Way, bends};
pub use elbow::{elbows, is_sold};
pub use pieces::{JointAt, Piece, PlacedJoint};
pub use plan::{Laying, Step, What, plan};
pub use shopping::{Count, Item, Row, Why};
