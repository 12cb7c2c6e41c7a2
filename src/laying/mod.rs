//! Bends held against the pipe, pieces and joints in their places, the laying list and the shopping list.

mod avoid;
mod elbow;
mod laid;
mod pieces;
mod plan;
mod shopping;
mod shopping_row;
mod stock;

pub use crate::capacity::{BendCheck, OFF_LINE_M, Way, bends, elbows, is_sold};
pub use avoid::{Avoid, AvoidWhy};
pub use laid::{Laying, LayingStep, What};
pub use pieces::{JointAt, LaidPiece, PlacedJoint};
pub use plan::plan;
pub use shopping_row::{Count, ShoppingItem, ShoppingReason, ShoppingRow};
