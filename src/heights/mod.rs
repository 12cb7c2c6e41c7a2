//! Heights along the line as a joint posterior: of walks with a receiver, of a book, of both.
//!
//! A walk's readings err by an offset, a slow drift in the walk's own clock and a small white part; the ground bends as much as it likes, and how much is unknown from cell to cell.
//! Everything is Gaussian once the noise numbers and the roughness of each cell are given, so these few are sampled with the heights integrated out, in time that grows with the length of the line.
//! The model, its sources and its limits: docs/basis/heights.md.

mod backed;
mod backing;
mod booked;
mod bridge;
mod chain;
mod drawn;
mod filter;
mod gather;
mod given;
mod grid;
mod input;
mod layout;
mod noise;
mod odds;
mod onward;
mod posterior;
mod sample;
mod screen;
mod smoothed;
mod steady;
mod walked;

pub use backed::{Backed, WithoutWalk};
pub use booked::booked;
pub use input::{
    AtOdds, BookNode, FollowedWalk, HeightsOptions, Levelled, Noise, ReadingBlock, Tie,
};
pub use posterior::Heights;
pub use smoothed::{Smoothed, Smoothing, smoothed};
pub use walked::walked;
pub use walked_heights::WalkedHeights;

#[cfg(test)]
mod dense;
mod walked_heights;
#[cfg(test)]
mod worked;
