//! Surveys to one line: stations, plan, heights as a posterior, bends.

pub mod heights;
mod track;

pub use track::{Bend, Heights, Node, Plan, Route, StationedPlace};
