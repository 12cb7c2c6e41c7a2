//! Walks with a receiver brought onto one line in plan: cleaned, cut at their turns, laid on each other.

mod along;
mod assemble;
pub(crate) mod block;
pub(crate) mod centre;
pub(crate) mod clean;
pub(crate) mod copied;
mod gap;
pub(crate) mod gather;
mod leg;
pub(crate) mod line_ends;
mod median;
mod polyline;
mod repeat;
pub(crate) mod rough;
pub(crate) mod scatter;
mod smooth;
mod source;

pub use gather::{WalkedPlan, plan_of_walks};
pub(crate) use polyline::Polyline;
