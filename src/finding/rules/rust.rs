//! What attacks metal.

use super::{Found, Severity, Study, rows};
use crate::metal::MetalPair;
use crate::pipe::Metal;

rows! { of subject |of| match of {
        Rust::Pair(pair) => &pair.part,
        _ => "",
    };
    /// What attacks metal.
    #[serde(untagged)]
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
            #[serde(rename = "resistivity_ohm_m")]
            ohm_m: f64,
        },
        /// The water attacks steel inside.
        SoftWater {
            /// Langelier's index.
            #[serde(rename = "langelier")]
            index: f64,
        },
    }
    Rust::Pair(_) => "metal-pair", "metal pair", "metals", Plant;
    Rust::EarthBonded { .. } => "earth-bonded", "earth bonded", "metals", Plant;
    Rust::EarthCurrent { .. } => "earth-current", "earth current", "metals", Plant;
    Rust::Soil { .. } => "soil-corrodes", "soil corrodes", "metals", Plant;
    Rust::SoftWater { .. } => "water-soft", "water soft", "metals", Plant;
}

/// Pairs, the earth, the soil, the water.
pub(in crate::finding) fn found(study: &Study) -> Vec<Found<Rust>> {
    let Some(metal) = &study.metal else {
        return Vec::new();
    };
    // series, limits and classes are from memory or from secondary sources
    let watch = |rust, from_m: f64, to_m: f64| {
        Found::new(Severity::Watch, rust, from_m, to_m).on_memory(true)
    };
    let end = study.line.geometry.length_m();
    let mut found: Vec<Found<Rust>> = metal
        .pairs
        .iter()
        .map(|p| watch(Rust::Pair(p.clone()), p.station_m, p.station_m))
        .collect();
    if let Some(earth) = metal.earth {
        let at = earth.station_m;
        if earth.bonded {
            found.push(watch(Rust::EarthBonded { metal: earth.metal }, at, at));
        }
        if let Some(wanted_m) = earth.reaches_m.filter(|r| earth.away_m < *r) {
            let rust = Rust::EarthCurrent {
                away_m: earth.away_m,
                wanted_m,
            };
            found.push(watch(rust, at, at));
        }
    }
    let ohm_m = study.line.works.corrosion.and_then(|c| c.soil_ohm_m);
    if let (true, Some((from, to)), Some(ohm_m)) = (metal.soil_attacks, metal.bare_m, ohm_m) {
        found.push(watch(Rust::Soil { ohm_m }, from, to));
    }
    if let (true, Some(index)) = (metal.water_attacks, metal.index) {
        found.push(watch(Rust::SoftWater { index }, 0.0, end));
    }
    found
}
