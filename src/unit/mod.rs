//! Text with a unit to SI and back; how a figure is shown with its doubt.

pub mod nature;
mod water;

pub use water::State as WaterState;
