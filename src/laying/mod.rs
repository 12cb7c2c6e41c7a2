//! Bends held against the pipe, pieces and joints in their places, the laying list and the shopping list.

mod avoid;
mod elbow;
mod pieces;
mod plan;
mod shopping;
mod stock;

pub use crate::capacity::{BendCheck, OFF_LINE_M, Way, bends, elbows, is_sold};
pub use avoid::{Avoid, AvoidWhy};
pub use pieces::{JointAt, LaidPiece, PlacedJoint};
pub use plan::{Laying, LayingStep, What, plan};
pub use shopping::{Count, ShoppingItem, ShoppingReason, ShoppingRow};
