//! Everything a plan shows, in SI, with the words for it.

use super::frame::Words;
use super::plan_moved::PlanMoved;
use super::plan_push::PlanPush;
use super::section::Key;
use super::symbol::Symbol;
use crate::unit::Units;

/// Everything a plan shows, in SI, with the words for it.
#[derive(Debug, Clone)]
pub struct PlanView {
    /// Units of the rulings.
    pub units: Units,
    /// Stations of the points, m, rising.
    pub station_m: Vec<f64>,
    /// The same as the user has them, m: on the pegs, rising or falling.
    pub pegs_m: Vec<f64>,
    /// East and north of the first point, m.
    pub east_north_m: Vec<(f64, f64)>,
    /// Standard deviation across the line, m; 0 where none is known.
    pub sd_m: f64,
    /// Reaches that climb or may.
    pub reaches: Vec<PlanReach>,
    /// Bends.
    pub bends: Vec<PlanBend>,
    /// Thrusts.
    pub pushes: Vec<PlanPush>,
    /// What stands on the line or is wanted.
    pub tags: Vec<PlanTag>,
    /// What a storm did, where two surveys are held against each other.
    pub moved: Option<PlanMoved>,
    /// What each sign means.
    pub legend: Vec<(Key, String)>,
    /// Title block.
    pub notes: Vec<(String, String)>,
    /// Words of the frame.
    pub words: Words,
}

/// A reach shown on the plan.
#[derive(Debug, Clone, Copy)]
pub struct PlanReach {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// It climbs; else the survey cannot tell.
    pub certain: bool,
}

/// A bend with its words.
#[derive(Debug, Clone)]
pub struct PlanBend {
    /// Where, m.
    pub station_m: f64,
    /// Its angle in words.
    pub label: String,
}

/// Something at a station.
#[derive(Debug, Clone)]
pub struct PlanTag {
    /// Where, m.
    pub station_m: f64,
    /// Its symbol.
    pub symbol: Symbol,
    /// It is wanted; else it stands.
    pub wanted: bool,
    /// Written beside it.
    pub label: String,
    /// Its full name, for a pointer.
    pub name: String,
}

impl PlanView {
    /// Position at a station.
    pub(super) fn at(&self, station_m: f64) -> (f64, f64) {
        let axis = |pick: fn(&(f64, f64)) -> f64| {
            let values: Vec<f64> = self.east_north_m.iter().map(pick).collect();
            crate::route::interpolate(&self.station_m, &values, station_m)
        };
        (axis(|p| p.0), axis(|p| p.1))
    }
}
