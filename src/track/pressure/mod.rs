//! Logs of the pressure of the air, laid beside a walk: heights to a few decimetres between fixes, and with a second log that stands still, the weather taken out.
//!
//! How and how well: docs/basis/heights.md.

mod air;
mod clock;
mod lay;
mod log;

pub use air::thickness_m;
pub use lay::{LaidLog, lay};
pub use log::{PressureLog, read_log, read_log_bytes};
