//! Bends held against the pipe, pieces and joints in their places, the laying list and the shopping list.

mod avoid;
mod bought;
mod elbow;
mod intake;
mod pieces;
mod plan;
mod result;
mod shopping;
mod shopping_row;
mod stock;
mod trench;

pub use crate::capacity::{BendCheck, BendMethod, OFF_LINE_M, bends, elbows, is_sold};
pub use avoid::{Avoid, AvoidWhy};
pub use bought::meet_pressures;
pub use pieces::{JointAt, LaidPiece, PlacedJoint};
pub use plan::plan;
pub use result::{Laying, LayingStep, What};
pub use shopping_row::{Count, ShoppingItem, ShoppingRow, Why};
