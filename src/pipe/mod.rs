//! The catalogue of pipe by open standard, the vocabulary of parts, and what a pipe can take.

mod kind;
pub mod parts;

pub use kind::Pipe;
pub use parts::*;
