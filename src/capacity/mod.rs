//! What a reach of the line may take: inside, from outside, at its joints, round a bend, in a state of a kind.
//!
//! The one place that knows: vents are sized, times searched, tests set and pipe judged by the same figures.

mod bends;
mod elbow;
mod inside;
mod outside;
mod state;

pub use bends::{BendCheck, BendMethod, OFF_LINE_M, bends};
pub use elbow::{elbows, is_sold};
pub use inside::{Allowable, ResidualStrength, TooWarm, Weakest, left, may, pipe_may};
pub use outside::{
    NoGround, Withstands, emptying_pa, free_ring, full_vacuum_pa, ground, heaviest_n_per_m3,
    held_pa, joint_suction_m, joint_suction_pa, ring,
};
pub use state::{EMPTY, LoadKind, Setting, Which, emptied, wall_c};
