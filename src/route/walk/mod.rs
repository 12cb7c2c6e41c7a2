//! Walks with a receiver to a route.

mod along;
mod assemble;
mod block;
mod centre;
mod clean;
mod copied;
mod direction;
mod gap;
mod gather;
mod lay;
mod leg;
mod line_ends;
mod median;
mod named_ends;
mod part;
mod polyline;
mod repeat;
mod rough;
mod route;
mod scatter;
mod smooth;
mod source;
mod suspect;
mod walked;
mod witness;

pub use gather::{WalkedPlan, plan_of_walks};
pub(super) use polyline::Polyline;
pub(super) use route::walked;
