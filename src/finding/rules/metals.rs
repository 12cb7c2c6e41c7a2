//! What attacks metal.

use crate::finding::{Finding, Kind, Rust, Severity};
use crate::study::Study;

/// Pairs, the earth, the soil, the water.
pub fn attacked(study: &Study) -> Vec<Finding> {
    let Some(metal) = &study.metal else {
        return Vec::new();
    };
    // series, limits and classes are from memory or from secondary sources
    let watch = |rust, from_m: f64, to_m: f64| {
        Finding::new(Severity::Watch, Kind::Rust(rust), from_m, to_m).from_memory(true)
    };
    let end = study.line.length_m();
    let mut found: Vec<Finding> = metal
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
    let ohm_m = study.line.corrosion.and_then(|c| c.soil_ohm_m);
    if let (true, Some((from, to)), Some(ohm_m)) = (metal.soil_attacks, metal.bare_m, ohm_m) {
        found.push(watch(Rust::Soil { ohm_m }, from, to));
    }
    if let (true, Some(index)) = (metal.water_attacks, metal.index) {
        found.push(watch(Rust::SoftWater { index }, 0.0, end));
    }
    found
}
