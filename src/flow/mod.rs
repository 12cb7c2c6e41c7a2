//! Steady flow: water, friction, local losses, jets, running states, grade line, gauges.

mod result;

pub use result::*;
