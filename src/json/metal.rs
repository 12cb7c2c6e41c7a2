//! What attacks metal.

use super::block::block;
use crate::metal::{Corroded, EarthNear, MetalPair, SoilClass};
use crate::pipe::Metal;

block! {
    struct MetalsJson of (c: &Corroded) {
        /// Metals that touch and differ by more than the limit.
        pairs: Vec<PairJson> = c.pairs.iter().map(PairJson::of).collect(),
        /// Class of the soil by its resistivity.
        soil: Option<SoilClass> = c.soil,
        /// True if the soil corrodes buried steel pipe.
        soil_attacks: Option<bool> = c.soil.map(|_| c.soil_attacks),
        /// Langelier index of the water.
        langelier: Option<f64> = c.index,
        /// True if the water corrodes steel pipe.
        water_attacks: Option<bool> = c.index.map(|_| c.water_attacks),
        /// Earth electrode of the generator.
        earth: Option<EarthJson> = c.earth.as_ref().map(EarthJson::of),
    }

    struct EarthJson of (e: &EarthNear) {
        /// Its metal.
        metal: Metal = e.metal,
        /// Station of the nearest buried steel pipe, m.
        station_m: f64 = e.station_m,
        /// Distance along the pipe from the electrode, m.
        away_m: f64 = e.away_m,
        /// True if the steel is connected to an electrode of a nobler metal.
        bonded: bool = e.bonded,
        /// Distance at which its direct current still corrodes steel, m.
        reaches_m: Option<f64> = e.reaches_m,
    }

    struct PairJson of (p: &MetalPair) {
        station_m: f64 = p.station_m,
        /// Name of the part.
        part: String = p.part.clone(),
        /// Metal, a fixed word.
        metal: Metal = p.metal,
        /// The other metal.
        other_metal: Metal = p.other,
        /// The metal that corrodes.
        corrodes: Metal = p.eaten,
        /// Difference of the two metals, V.
        apart_v: f64 = p.apart_v,
    }
}
