//! Steady flow: water, friction, local losses, jets, running states, grade line, gauges.

pub mod branch;
mod causes;
mod conditions;
mod conduit;
mod demand;
mod doubt;
mod fit;
pub mod friction;
mod gauges;
pub mod hazen;
mod intake;
mod largest;
mod limit;
pub mod local;
mod remedy;
mod result;
mod run;
pub mod silt;
mod stream;
pub mod suction;
mod table;

pub use causes::{Cause, Explanation};
pub use conditions::{Conditions, StandingAir};
pub use doubt::{BORE_SD, FRICTION_SD};
pub use gauges::{Gauges, NextReading, Reading, Unused, gauges};
pub use intake::{FirstMetres, Intake, MouthFlow, Siphon, Submergence, intake};
pub use largest::{Largest, flow_for_loss, largest_power, largest_under};
pub use result::*;
pub use run::{cases, run, run_under, wishes};
pub use stream::{Month, StreamUse, Takes, stream};
