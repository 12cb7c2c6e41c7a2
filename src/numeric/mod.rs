//! Portable functions, roots, least squares, filters, monotone fits, a small linear programme, a generator of draws, work side by side: `f64` only, nothing of the trade.

mod abreast;
mod descend;
mod draws;
pub mod isotonic;
pub mod math;
mod median;
mod motion;
mod programme;
mod root;
pub(crate) mod series;
mod spans;

pub use abreast::abreast;
pub use descend::{DescentOptions, Minimum, minimise};
pub use draws::Rng;
pub use median::{median, median_in, spread};
pub use motion::{Motion, PlanPair, kabsch};
pub use programme::{AtMost, Best, NoBest, Programme};
pub use root::{Bracket, NoRoot, root};
pub use spans::Spans;
