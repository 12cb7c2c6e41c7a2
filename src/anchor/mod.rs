//! Thrust, blocks, slopes, heat, floods and supports.

mod parts;
pub mod soil;
pub mod thrust;

pub use parts::*;
pub use soil::{Ground, Table};
pub use thrust::Vector;
