//! result.json: the shape that other programs read.

mod round;
mod route;
mod running;

pub use round::rounded;
