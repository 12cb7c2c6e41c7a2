//! Steady flow: water, friction, local losses, jets, running states, grade line, gauges.

pub mod branch;
mod conditions;
mod conduit;
mod demand;
mod doubt;
mod fit;
pub mod friction;
mod limit;
pub mod local;
mod remedy;
mod result;
mod run;
pub mod suction;
mod table;

pub use conditions::{Conditions, StandingAir};
pub use doubt::{BORE_SD, FRICTION_SD};
pub use result::*;
pub use run::{cases, run, run_under, wishes};
