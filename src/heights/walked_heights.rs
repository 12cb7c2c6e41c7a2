//! Heights of walks, and what they rest on.

use super::Heights;
use super::input::{AtOdds, FollowedWalk, Noise};
use crate::receiver::Class;
use crate::text::Sentence;

/// Heights of walks, and what they rest on.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct WalkedHeights {
    /// The posterior on the stations asked for.
    pub heights: Heights,
    /// The noise behind it.
    pub noise: Noise,
    /// The walks behind it, each with its errors, on the stations of the blocks that were given.
    pub followed: Vec<FollowedWalk>,
    /// How likely each class of receivers is, after all was seen.
    pub classes: Vec<(Class, f64)>,
    /// Walks that contradict each other, the widest first.
    pub at_odds: Vec<AtOdds>,
    /// What the user should know of it, in words; the caller adds the file.
    pub remarks: Vec<Sentence>,
}
