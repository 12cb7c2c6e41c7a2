//! Figures by their key: rounded by the unit that the key names, and stations on the pegs beside.

mod pegged;
mod round;

pub use pegged::on_pegs;
pub use round::rounded;
