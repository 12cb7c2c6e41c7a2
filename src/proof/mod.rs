//! The pressure test as it was done, judged by the standard for the material: polyethylene by how its pressure falls with the logarithm of time, other pipe by what it loses in an hour.

mod creep;
mod drop;
mod judge;

pub use creep::{BACKFILLED, Creep, FREE, Slope, slope};
pub use drop::{Drop, HOUR_S, MAY_LOSE_PA};
pub use judge::{Doubt, Method, Proof, Verdict, proof};
