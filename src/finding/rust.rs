use crate::metal::MetalPair;
use crate::pipe::Metal;

/// What attacks metal.
#[derive(Debug, Clone, PartialEq)]
pub enum Rust {
    /// Metals that touch and should not.
    Pair(MetalPair),
    /// The steel is joined to an earth electrode of a nobler metal.
    EarthBonded {
        /// The electrode's metal.
        metal: Metal,
    },
    /// The electrode's direct current shifts the soil at the steel by more than it bears.
    EarthCurrent {
        /// From the electrode to the steel, m.
        away_m: f64,
        /// How far the electrode should be away, m.
        wanted_m: f64,
    },
    /// The soil attacks bare steel.
    Soil {
        /// Its resistivity, ohm m.
        ohm_m: f64,
    },
    /// The water attacks steel inside.
    SoftWater {
        /// Langelier's index.
        index: f64,
    },
}
