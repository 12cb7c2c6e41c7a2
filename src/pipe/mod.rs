//! The catalogue of pipe by open standard, the vocabulary of parts, and what a pipe can take.

mod catalogue;
mod kind;
pub mod parts;
mod roughness;
mod table;
pub mod wave;
mod words;

pub use catalogue::{NotOne, catalogue, find, search};
pub use kind::Pipe;
pub use parts::*;
pub use roughness::{Roughness, roughness};
