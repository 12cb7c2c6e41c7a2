use super::{DeclaredPlace, Located};
use crate::pipe::{Cleaner, Coating, Metal, ScreenKind};

/// `[screen]`: the screen before the pipe inlet.
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

/// `[grit]`: what the water carries, and how it has worn the nozzles.
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

/// `[basin]`: the settling basin.
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

/// `[pressure_test]`: the pressure test as it was done.
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

/// `[record]`: who filled and ran the plant for the first time; empty where it was not said.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    /// Who did the work.
    pub by: String,
    /// Who looked on.
    pub witness: String,
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

/// `[corrosion]`: what attacks metal.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredCorrosion {
    /// What covers the steel pipe.
    pub coating: Option<Coating>,
    /// Resistivity of the soil, ohm m.
    pub soil_ohm_m: Option<f64>,
    /// The analysis of the water.
    pub water: Option<Analysis>,
    /// Where the generator's earth electrode is.
    pub earth_at: Option<Located<DeclaredPlace>>,
    /// Its metal.
    pub earth: Option<Metal>,
    /// Direct current that goes into it, A.
    pub earth_dc_a: Option<f64>,
}

/// `[[metal]]`: a metal part on the pipe.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredMetalPart {
    /// Where.
    pub at: Located<DeclaredPlace>,
    /// Of what.
    pub metal: Metal,
    /// Metal does not touch metal there.
    pub insulated: bool,
    /// What the user calls it.
    pub name: Option<String>,
}
