//! result.json: the shape that other programs read.

mod round;

pub use round::rounded;
