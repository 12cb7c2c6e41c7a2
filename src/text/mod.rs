//! Where a thing stood in a file, and how a fault in it is told.

mod fault;
mod place;

pub use fault::{Fault, Remark, neutral};
pub use place::Place;
