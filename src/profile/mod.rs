//! The pipe on the route: grades, climbs, lows, flats, and how sure.
//!
//! Every question is put to each draw of the heights; the share of draws that say yes is the answer. A climb is never read off the mean line alone, which hides it.
//! How it is done and where it ends: docs/basis/climbs.md.

mod flat;
mod judge;
mod one_walk;
mod parts;
mod reach;
mod settle;
mod trace;

pub use judge::judge;
pub use parts::{Bore, Climb, ClimbVerdict, Flat, Grade, Low, Profile};
pub use settle::{Chance, SettlingSurvey, settling};
