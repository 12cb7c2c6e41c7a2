use super::{DeclaredPlace, Located};
use crate::pipe::{Cleaner, Coating, Metal, ScreenKind};

/// `[screen]`: what stands before the pipe inlet.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredScreen {
    /// What it is made of.
    pub kind: ScreenKind,
    /// Clear width of an opening, m.
    pub opening_m: f64,
    /// Thickness of a bar or wire, m.
    pub bar_m: Option<f64>,
    /// Open share of its face, where said.
    pub open_share: Option<f64>,
    /// Width, m.
    pub width_m: Option<f64>,
    /// Wetted length along its face, m.
    pub length_m: Option<f64>,
    /// How steeply it stands, rad from the horizontal.
    pub slope_rad: Option<f64>,
    /// What keeps it clear.
    pub cleaned: Option<Cleaner>,
    /// Narrowest passage of the machine behind the nozzles, m.
    pub least_clearance_m: Option<f64>,
    /// Where it stands in the file.
    pub said: Located<()>,
}

/// `[grit]`: what the water carries, and how it has worn the nozzles.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredGrit {
    /// Grain that counts, m.
    pub grain_m: f64,
    /// Sand in the water at the intake, mg in a litre.
    pub load_mg_per_l: Option<f64>,
    /// Hours in operation, a year.
    pub hours_per_year: Option<f64>,
    /// How much wider a nozzle became, m.
    pub worn_by_m: Option<f64>,
    /// In so many hours.
    pub worn_hours: Option<f64>,
    /// At so much net head, m.
    pub worn_head_m: Option<f64>,
    /// Where it stands in the file.
    pub said: Located<()>,
}

/// `[basin]`: the settling basin.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredBasin {
    /// Width, m.
    pub width_m: f64,
    /// Length, m.
    pub length_m: f64,
    /// Depth of the water above the sand, m.
    pub depth_m: f64,
    /// Depth that is kept for the sand, m.
    pub sand_depth_m: Option<f64>,
    /// Flow that flushes it, m3/s.
    pub flush_flow_m3_per_s: Option<f64>,
    /// Fall of its floor, m per m.
    pub floor_grade: Option<f64>,
    /// Where it stands in the file.
    pub said: Located<()>,
}

/// `[pressure_test]`: the readings of the pressure test.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredPressureTest {
    /// Time that it took to raise the pressure, s.
    pub loading_s: f64,
    /// Each reading: time since the pump was shut off, s, and pressure at the lower end, Pa.
    pub readings: Vec<(f64, f64)>,
    /// The gauge's limit, Pa: +-.
    pub limit_pa: Option<f64>,
    /// The pipe lay in compacted backfill, where said.
    pub backfilled: Option<bool>,
    /// Where it stands in the file.
    pub said: Located<()>,
}

/// `[record]`: who filled and ran the plant for the first time.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredRecord {
    /// Who did the work.
    pub by: Option<String>,
    /// Who looked on.
    pub witness: Option<String>,
}

/// `[corrosion]`: what attacks metal.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredCorrosion {
    /// What covers the steel pipe.
    pub coating: Option<Coating>,
    /// Resistivity of the soil, ohm m.
    pub soil_ohm_m: Option<f64>,
    /// Acidity of the water.
    pub water_ph: Option<f64>,
    /// What is dissolved in it, mg in a litre.
    pub water_solids_mg_per_l: Option<f64>,
    /// Its calcium, as calcium carbonate, mg in a litre.
    pub water_calcium_mg_per_l: Option<f64>,
    /// Its alkalinity, as calcium carbonate, mg in a litre.
    pub water_alkalinity_mg_per_l: Option<f64>,
    /// Where the generator's earth electrode is.
    pub earth_at: Option<Located<DeclaredPlace>>,
    /// Its metal.
    pub earth: Option<Metal>,
    /// Direct current that goes into it, A.
    pub earth_dc_a: Option<f64>,
    /// Where it stands in the file.
    pub said: Located<()>,
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
