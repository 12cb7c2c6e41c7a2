//! Site, route and catalogue brought onto stations: the one thing that physics sees.

mod assumed;
mod build;
mod centre;
mod counts;
mod environment;
mod grid;
mod gridded;
mod machine;
mod metals;
mod parts;
mod piece;
mod places;
mod plain;
mod reaches;
mod set;
mod stretch;
mod valves;
mod whole;

pub use assumed::Assumed;
pub use build::build;
pub use counts::Watch;
pub use environment::AirFor;
pub(crate) use machine::usual_law;
pub use metals::{Corrosion, EarthElectrode, MetalPart};
pub use parts::*;
pub use piece::PieceLength;
pub use whole::{
    Environment, Geometry, Heading, Line, Measured, Reach, Reaches, Situation, Stream, WaterRange,
    Wishes, Works,
};

pub use crate::site::{
    Analysis, Basin, Grit, Limits, Mover, PressureTest, Record, RegradeWish, Screen, Worn,
};
