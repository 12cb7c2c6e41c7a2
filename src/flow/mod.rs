//! Steady flow: water, friction, local losses, jets, running states, grade line, gauges.
//!
//! [`cases`] works out every running state of a line, [`run()`] one of them with its doubts, [`run_under`] one under stated [`Conditions`] without.
//! Beside them: [`gauges()`] holds readings against the line, [`stream()`] the months against the states, [`intake()`] the mouth against the largest flow, [`screen()`] the screen before it,
//! [`silt::carrying`] the velocities against silt, [`largest_power`] the line against the most it could give, [`hazen::friction_m`] the older law for comparison.
//!
//! One road inside: `fit` brings every loss onto its bore, `conduit` lays pipes and losses in a row, `demand` finds the flow of a full line,
//! `limit` the flow of one that cannot run full, `table` lays the state out, `remedy` says what would help, `doubt` how sure it is.

pub mod branch;
mod case_model;
mod causes;
pub mod checks;
mod conditions;
mod conduit;
mod demand;
mod doubt;
mod explanation;
mod fit;
pub mod friction;
mod gauges;
pub mod hazen;
mod intake;
mod largest;
mod limit;
pub mod local;
mod remedy;
mod response;
mod result;
mod run;
mod screen;
pub mod silt;
mod stream;
pub mod suction;
mod table;

pub use conditions::{Conditions, StandingAir};
pub use doubt::{BORE_SD, FRICTION_SD};
pub use explanation::{AirLeg, Explanation, GaugeCause, GaugeReading};
pub use gauges::{Gauges, NextReading, Unused, gauges};
pub use intake::{FirstMetres, IntakeCheck, IntakeSiphon, MouthFlow, Submergence, intake};
pub use largest::{Largest, flow_for_loss, largest_power, largest_under};
pub use response::{Dial, PlantChange, Response, respond};
pub use run::{cases, full_grade_line_m, run, run_under, wishes};
pub use screen::{FAST_M_PER_S, STEEP_RAD, ScreenFlow, clear_k, open_share, screen};
pub use stream::{Month, SURELY, StreamDay, StreamUse, Takes, stream};

pub use result::*;
