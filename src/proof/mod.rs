//! The pressure test as it was done, judged by the standard for the material: polyethylene by how its pressure falls with the logarithm of time, other pipe by what it loses in an hour.

mod creep;
mod drop;
mod judge;

pub use creep::{BACKFILLED, Creep, CreepSlope, FREE, slope};
pub use drop::{HOUR_S, MAY_LOSE_PA, PressureDrop};
pub use judge::{Proof, TestDoubt, TestMethod, TestVerdict, proof};
