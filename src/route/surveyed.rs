//! The surveyed line: its nodes, heights, bends and named places.

use super::Witness;
use crate::heights::{FollowedWalk, Heights};
use crate::reading::{Method, Misclosure, Source};
use crate::receiver::Class;
use crate::text::Remark;
use crate::unit::OnPegs;

/// The surveyed line, in order from the intake down.
///
/// Stations run along the line on the slope. Heights are of what was surveyed, brought to the pipe's centre by `line`.
#[derive(Debug, Clone, Default, PartialEq)]
#[non_exhaustive]
pub struct Route {
    /// Points along the line, at least two, stations strictly rising from 0.
    pub nodes: Vec<Node>,
    /// Heights with their doubt, on the nodes.
    pub heights: Heights,
    /// Bends that stand above their doubt.
    pub bends: Vec<Bend>,
    /// Standard deviation of the length along the line, m.
    pub length_sd_m: f64,
    /// Standard deviation of a station, m (the plan's doubt along the line).
    pub station_sd_m: f64,
    /// How it was surveyed.
    pub method: Option<Method>,
    /// The files it was made from.
    pub files: Vec<Source>,
    /// Points in the files.
    pub points_read: usize,
    /// Points that the line rests on.
    pub points_used: usize,
    /// Walks over the line.
    pub passes: usize,
    /// The walks behind the heights: their readings on this line's stations, and how they err. Empty for a book.
    pub followed: Vec<FollowedWalk>,
    /// How likely each class of receivers is, by how the walks' heights err. Empty for a book and for heights of a terrain model.
    pub receiver: Vec<(Class, f64)>,
    /// Whether the survey ran uphill and was turned.
    pub reversed: bool,
    /// Misclosure of the book.
    pub misclosure: Option<Misclosure>,
    /// Named places brought onto the line.
    pub places: Vec<StationedPlace>,
    /// Heights look copied from a terrain model.
    pub terrain_model: bool,
    /// A book whose heights hang on a known height, not on a datum of its own.
    pub tied: bool,
    /// Stretches from one recorded height to the next, far apart, m: what lies between was not surveyed.
    pub unrecorded: Vec<(f64, f64)>,
    /// What each walk or book says by itself, on the same stations.
    pub witnesses: Vec<Witness>,
    /// What was done or noticed on the way.
    pub remarks: Vec<Remark>,
}

/// A point along the line.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Node {
    /// Along the line from the intake, m.
    pub station_m: f64,
    /// Level distance from the intake along the plan, m.
    pub horizontal_m: f64,
    /// The same point on the survey's pegs.
    pub on_pegs: OnPegs,
    /// Position, where the survey has one.
    pub plan: Option<Plan>,
    /// Whether it was surveyed (else filled in between).
    pub surveyed: bool,
}

/// Position in plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plan {
    /// East of the first point on a local grid, m.
    pub east_m: f64,
    /// North of the first point, m.
    pub north_m: f64,
    /// Latitude and longitude, degrees, where the survey is tied to the earth.
    pub lat_lon_deg: Option<(f64, f64)>,
}

/// A bend of the route that stands above its doubt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bend {
    /// Where, m along the line.
    pub station_m: f64,
    /// Deflection in plan, rad, positive to the left (anticlockwise seen from above).
    pub plan_rad: f64,
    /// Deflection in profile, rad, positive where the pipe turns upward.
    pub profile_rad: f64,
    /// Angle in space between the legs, rad, 0 to pi.
    pub angle_rad: f64,
    /// Standard deviation of that angle, rad.
    pub sd_rad: f64,
    /// Length over which it turns, m; 0 for a sharp bend at a surveyed point.
    pub over_m: f64,
}

/// A named place brought onto the line.
#[derive(Debug, Clone, PartialEq)]
pub struct StationedPlace {
    /// Free text from the file.
    pub name: String,
    /// Where, m along the line.
    pub station_m: f64,
    /// How far off the line it lies, m.
    pub off_m: f64,
}
