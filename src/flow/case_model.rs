//! A line made ready for one state, and how much flows in it.

use super::conduit::Conduit;
use super::demand::Demand;
use super::limit::PartFullSolution;
use super::{Conditions, LimitedBy};
use crate::line::{CaseWish, Line};

/// A line made ready for one state.
pub(super) struct CaseModel<'a> {
    pub(super) line: &'a Line,
    pub(super) wish: &'a CaseWish,
    pub(super) conditions: &'a Conditions,
    pub(super) conduit: Conduit,
    pub(super) demand: Demand,
    pub(super) level_m: f64,
    pub(super) gross_head_m: f64,
    /// The grid with every other station that matters: vents, ends of pipes, fittings, taps.
    pub(super) stations_m: Vec<f64>,
    pub(super) pipe_m: Vec<f64>,
    pub(super) working_m: Vec<f64>,
    pub(super) boiling_m: f64,
    /// The stream may give too little.
    pub(super) stream_counts: bool,
}

/// How much flows, and what keeps it from being more.
pub(super) struct Solution {
    pub(super) flow_m3_per_s: f64,
    /// Flow of a full, airtight line, m3/s.
    pub(super) sealed_m3_per_s: f64,
    /// Area that passes the flow, m2; 0 when shut.
    pub(super) area_m2: f64,
    pub(super) broken: Option<(LimitedBy, PartFullSolution)>,
}
