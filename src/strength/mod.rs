//! Pressure over what it may take, metre by metre; zones of class; collapse.
//!
//! Capacity stands in `pipe` and `capacity`, pressures come from the rooms before: this room only divides. Standing pressure at flood level is always judged, whatever the caller gives beside it.

pub mod bedded;
mod field;
mod judge;
mod limits;
mod load;
mod result;
mod suction;
mod wheel;
mod wheel_load;
mod zones;

pub use crate::capacity::{LoadKind, ResidualStrength, TooWarm, Weakest, Which};
pub use bedded::{Bedded, Deflects, NoDeflection, TrenchSize, Volumes, bedded};
pub use judge::judge;
pub use limits::limits;
pub use load::Load;
pub use result::{
    Governing, GoverningState, JointSuction, MayTake, NoZones, OutsideLow, PressureLimits,
    ReachStrength, Strength, Tested, Zone, Zones,
};
pub use suction::{collapse_utilisation, needs_air_somewhere, would_need_air};
pub use wheel::Wheel;
pub use wheel_load::{NoWheel, Pressed, WheelLoad};
pub use zones::{STATIC_MARGIN, drop_is_known};
