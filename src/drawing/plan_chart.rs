//! The chart that a plan is drawn in, and what it shows.

use super::frame::Words;
use super::item::{Box, PaperPoint};
use super::plan_push::PlanPush;
use super::section::LegendKey;
use super::symbol::Symbol;
use crate::unit::Units;

/// The chart of the plan.
pub(super) struct Chart {
    pub(super) area: Box,
    pub(super) west_m: f64,
    pub(super) south_m: f64,
    pub(super) mm_per_m: f64,
}

impl Chart {
    pub(super) fn at(&self, (east, north): (f64, f64)) -> PaperPoint {
        (
            self.area.left + (east - self.west_m) * self.mm_per_m,
            self.area.bottom - (north - self.south_m) * self.mm_per_m,
        )
    }
}

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
    pub legend: Vec<(LegendKey, String)>,
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
            crate::numeric::series::interpolate(&self.station_m, &values, station_m)
        };
        (axis(|p| p.0), axis(|p| p.1))
    }
}

/// What a storm did, seen from above.
#[derive(Debug, Clone)]
pub struct PlanMoved {
    /// Stations of the line as it lay, m, rising.
    pub station_m: Vec<f64>,
    /// East and north of it on the plan's grid, m.
    pub east_north_m: Vec<(f64, f64)>,
    /// Movements.
    pub arrows: Vec<PlanArrow>,
    /// Stations of the stakes that are to be set out, m.
    pub stakes_m: Vec<f64>,
    /// What an arrow means when it is drawn so many times as long as on the ground.
    pub told: fn(f64) -> String,
}

/// A movement.
#[derive(Debug, Clone)]
pub struct PlanArrow {
    /// Where, m, in the middle of its reach.
    pub station_m: f64,
    /// How far to the left looking down the line, m.
    pub left_m: f64,
    /// Standard deviation of that, m.
    pub sd_m: f64,
    /// It moved; else the surveys cannot tell.
    pub certain: bool,
    /// Its words.
    pub label: String,
}
