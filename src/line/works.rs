//! What the water passes before it is in the pipe, as the user declared it.

use super::places::PlaceFinder;
use crate::pipe::{Cleaner, Coating, Metal, ScreenKind};
use crate::site::Site;
use crate::text::Fault;

/// The screen before the pipe inlet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Screen {
    /// What it is made of.
    pub kind: ScreenKind,
    /// Clear width of an opening, m.
    pub opening_m: f64,
    /// Thickness of a bar or wire, m.
    pub bar_m: Option<f64>,
    /// Open share of its face, where the user said.
    pub open_share: Option<f64>,
    /// Width and wetted length of its face, m.
    pub face_m: Option<(f64, f64)>,
    /// How steeply it stands, rad from the horizontal.
    pub slope_rad: Option<f64>,
    /// What keeps it clear.
    pub cleaned: Option<Cleaner>,
    /// Narrowest passage of the machine behind the nozzles, m.
    pub least_clearance_m: Option<f64>,
}

/// The screen, where one was declared.
pub(super) fn screen(site: &Site) -> Option<Screen> {
    site.screen.as_ref().map(|s| Screen {
        kind: s.kind,
        opening_m: s.opening_m,
        bar_m: s.bar_m,
        open_share: s.open_share,
        face_m: s.width_m.zip(s.length_m),
        slope_rad: s.slope_rad,
        cleaned: s.cleaned,
        least_clearance_m: s.least_clearance_m,
    })
}

/// What the water carries, and how it has worn the nozzles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grit {
    /// Grain that counts, m.
    pub grain_m: f64,
    /// Sand in the water at the intake, kg/m3.
    pub load_kg_per_m3: Option<f64>,
    /// Time in operation, a year, s.
    pub per_year_s: Option<f64>,
    /// How a nozzle wore, where it was measured.
    pub worn: Option<Worn>,
}

/// A nozzle's wear as it was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worn {
    /// How much wider it became, m.
    pub by_m: f64,
    /// In so long in operation, s.
    pub over_s: f64,
    /// At so much net head, m, where that was said.
    pub head_m: Option<f64>,
}

/// The settling basin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Basin {
    /// Width, m.
    pub width_m: f64,
    /// Length, m.
    pub length_m: f64,
    /// Depth of the water above the sand, m.
    pub depth_m: f64,
    /// Depth that is kept for the sand, m.
    pub sand_depth_m: Option<f64>,
    /// Flow that flushes it, m3/s, and the fall of its floor, m per m.
    pub flush: Option<(f64, f64)>,
}

/// An hour, s.
const HOUR_S: f64 = 3600.0;

/// What the water carries, where it was declared.
pub(super) fn grit(site: &Site) -> Option<Grit> {
    site.grit.as_ref().map(|g| Grit {
        grain_m: g.grain_m,
        load_kg_per_m3: g.load_mg_per_l.map(|mg| 1e-3 * mg),
        per_year_s: g.hours_per_year.map(|h| HOUR_S * h),
        worn: g.worn_by_m.zip(g.worn_hours).map(|(by_m, hours)| Worn {
            by_m,
            over_s: HOUR_S * hours,
            head_m: g.worn_head_m,
        }),
    })
}

/// The basin, where one was declared.
pub(super) fn basin(site: &Site) -> Option<Basin> {
    site.basin.as_ref().map(|b| Basin {
        width_m: b.width_m,
        length_m: b.length_m,
        depth_m: b.depth_m,
        sand_depth_m: b.sand_depth_m,
        flush: b.flush_flow_m3_per_s.zip(b.floor_grade),
    })
}

/// The pressure test as it was done.
#[derive(Debug, Clone, PartialEq)]
pub struct PressureTest {
    /// Time that it took to raise the pressure, s.
    pub loading_s: f64,
    /// Each reading: time since the pump was shut off, s, and pressure at the lower end, Pa; times rise.
    pub readings: Vec<(f64, f64)>,
    /// The gauge's limit, Pa: +-; 0 where it was not said.
    pub limit_pa: f64,
    /// The pipe lay in compacted backfill, where said.
    pub backfilled: Option<bool>,
}

/// Who filled and ran the plant for the first time; empty where it was not said.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    /// Who did the work.
    pub by: String,
    /// Who looked on.
    pub witness: String,
}

/// The pressure test, where one was declared.
pub(super) fn pressure_test(site: &Site) -> Option<PressureTest> {
    site.pressure_test.as_ref().map(|t| PressureTest {
        loading_s: t.loading_s,
        readings: t.readings.clone(),
        limit_pa: t.limit_pa.unwrap_or(0.0),
        backfilled: t.backfilled,
    })
}

/// The record, where it was asked for.
pub(super) fn record(site: &Site) -> Option<Record> {
    site.record.as_ref().map(|r| Record {
        by: r.by.clone().unwrap_or_default(),
        witness: r.witness.clone().unwrap_or_default(),
    })
}

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

/// The analysis of a water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Analysis {
    /// Acidity.
    pub ph: f64,
    /// What is dissolved, mg in a litre.
    pub solids_mg_per_l: f64,
    /// Calcium as calcium carbonate, mg in a litre.
    pub calcium_mg_per_l: f64,
    /// Alkalinity as calcium carbonate, mg in a litre.
    pub alkalinity_mg_per_l: f64,
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
    let water = said
        .water_ph
        .zip(said.water_solids_mg_per_l)
        .zip(said.water_calcium_mg_per_l)
        .zip(said.water_alkalinity_mg_per_l)
        .map(
            |(((ph, solids_mg_per_l), calcium_mg_per_l), alkalinity_mg_per_l)| Analysis {
                ph,
                solids_mg_per_l,
                calcium_mg_per_l,
                alkalinity_mg_per_l,
            },
        );
    Some(Corrosion {
        coating: said.coating,
        soil_ohm_m: said.soil_ohm_m,
        water,
        earth,
    })
}

/// Metal parts, in order.
pub(super) fn metals(
    site: &Site,
    places: &PlaceFinder<'_>,
    faults: &mut Vec<Fault>,
) -> Vec<MetalPart> {
    let mut out = Vec::new();
    for part in &site.metals {
        match places.station_m(&part.at) {
            Ok(station_m) => out.push(MetalPart {
                station_m,
                metal: part.metal,
                insulated: part.insulated,
                name: part
                    .name
                    .clone()
                    .unwrap_or_else(|| part.metal.word().to_owned()),
            }),
            Err(fault) => faults.push(fault),
        }
    }
    out.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    out
}
