//! Walks with a receiver to a route.

mod direction;
mod finish;
mod known;
mod lay;
mod named_ends;
mod part;
mod suspect;
mod witness;

pub(super) use finish::walked;
