//! Pressure over what it may take, metre by metre; zones of class; collapse.
//!
//! Capacity stands in `pipe`, pressures come from the rooms before: this room only divides. Standing pressure at flood level is always judged, whatever the caller gives beside it.

mod capacity;
mod field;
mod judge;
mod limits;
mod load;
mod outside;
mod result;
mod suction;
mod wheel;
mod zones;

pub use judge::judge;
pub use limits::limits;
pub use load::{Load, LoadKind};
pub use result::{
    Cause, Governing, JointSuction, Left, Limits, NoWheel, NoZones, OutsideLow, Pressed,
    ReachStrength, Strength, Tested, TooWarm, Weakest, WheelLoad, Zone, Zones,
};
pub use suction::{needs_air_somewhere, pressed_flat};
pub use wheel::Wheel;
pub use zones::{STATIC_MARGIN, drop_is_known};
