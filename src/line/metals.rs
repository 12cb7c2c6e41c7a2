//! What attacks metal, as the user declared it, brought onto stations.

use super::places::PlaceFinder;
use crate::pipe::{Coating, Metal};
use crate::site::{Analysis, DeclaredMetalPart, Site};
use crate::text::Fault;

/// What attacks metal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corrosion {
    /// What covers the steel pipe, where said.
    pub coating: Option<Coating>,
    /// Resistivity of the soil, ohm m.
    pub soil_ohm_m: Option<f64>,
    /// The analysis of the water.
    pub water: Option<Analysis>,
    /// The generator's earth electrode.
    pub earth: Option<EarthElectrode>,
}

/// The generator's earth electrode.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EarthElectrode {
    /// Where it is, by the pipe's stations, m.
    pub station_m: f64,
    /// Its metal; copper where it was not said.
    pub metal: Metal,
    /// Direct current that goes into it, A, where said.
    pub direct_a: Option<f64>,
}

/// A metal part on the pipe.
#[derive(Debug, Clone, PartialEq)]
pub struct MetalPart {
    /// Where, m.
    pub station_m: f64,
    /// Of what.
    pub metal: Metal,
    /// Metal does not touch metal there.
    pub insulated: bool,
    /// What the user calls it; else its metal's word.
    pub name: String,
}

/// What attacks metal, where it was declared.
pub(super) fn corrosion(
    site: &Site,
    places: &PlaceFinder<'_>,
    faults: &mut Vec<Fault>,
) -> Option<Corrosion> {
    let said = site.corrosion.as_ref()?;
    let earth = said.earth_at.as_ref().and_then(|at| {
        let station_m = places.station_m(at).map_err(|f| faults.push(f)).ok()?;
        Some(EarthElectrode {
            station_m,
            metal: said.earth.unwrap_or(Metal::Copper),
            direct_a: said.earth_dc_a,
        })
    });
    Some(Corrosion {
        coating: said.coating,
        soil_ohm_m: said.soil_ohm_m,
        water: said.water,
        earth,
    })
}

/// Metal parts, in order.
pub(super) fn metals(
    site: &Site,
    places: &PlaceFinder<'_>,
    faults: &mut Vec<Fault>,
) -> Vec<MetalPart> {
    let found = places.in_order(&site.metals, |m| &m.at, faults);
    let part = |(station_m, _, part): (f64, usize, &DeclaredMetalPart)| MetalPart {
        station_m,
        metal: part.metal,
        insulated: part.insulated,
        name: part
            .name
            .clone()
            .unwrap_or_else(|| part.metal.word().to_owned()),
    };
    found.into_iter().map(part).collect()
}
