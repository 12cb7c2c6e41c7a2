//! What attacks metal: metals that touch, the soil, soft water, the generator's earth.

mod earth;
mod judge;
mod series;
mod soil;
mod water;

pub use earth::{may_shift_v, reaches_m};
pub use judge::{Corroded, EarthNear, MetalPair, corroded};
pub use series::{MAY_DIFFER_V, apart_v, loses};
pub use soil::{CORRODES_OHM_M, SoilClass, soil_class};
pub use water::{ATTACKS, langelier};
