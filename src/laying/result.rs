//! What is laid, in which order, of what.

use super::avoid::Avoid;
use super::pieces::{LaidPiece, PlacedJoint};
use super::shopping_row::ShoppingRow;
use crate::capacity::BendCheck;

/// Bends held against the pipe, every piece and joint in its place, what to buy.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Laying {
    /// Every bend of the route, in order.
    pub bends: Vec<BendCheck>,
    /// Fittings that stand in a bend, or nearer to it than they should: indexes into the line's fittings and the bends.
    pub fittings_in_bends: Vec<(usize, usize)>,
    /// Stretches that joints were kept out of, in order.
    pub avoided: Vec<Avoid>,
    /// Pieces in order from the intake: they cover the line without gap or overlap.
    pub pieces: Vec<LaidPiece>,
    /// Joints in order from the intake.
    pub joints: Vec<PlacedJoint>,
    /// Steps along the line in order, each pointing into the lists above.
    pub steps: Vec<LayingStep>,
    /// What to buy.
    pub shopping: Vec<ShoppingRow>,
}

/// One step of the laying list.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LayingStep {
    /// Where it begins, m.
    pub station_m: f64,
    /// What is done.
    pub what: What,
}

/// What a step of the laying list is: an index into the list it speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// Lay a piece (`Laying::pieces`).
    Lay(usize),
    /// The piece lies already (`Laying::pieces`).
    Lies(usize),
    /// The joint stands already and is kept (`Laying::joints`).
    Stands(usize),
    /// Make a joint (`Laying::joints`).
    Joint(usize),
    /// Set a fitting (`Line::fittings`).
    Fitting(usize),
    /// Set an elbow (`Laying::bends`).
    Elbow(usize),
}
