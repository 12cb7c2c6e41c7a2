use crate::heights::HeightsOptions;
use crate::reading::Reading;
use crate::text::Place;
use crate::unit::OnPegs;

/// An end of the pipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum End {
    /// Where the water goes in.
    Intake,
    /// Where it leaves.
    Turbine,
}

/// A place on the line as the user names it.
#[derive(Debug, Clone, PartialEq)]
pub enum Spot {
    /// A station on the survey's pegs.
    Station(OnPegs),
    /// A waypoint, a named point of a book; capitals do not matter.
    Name(String),
    /// A position on the earth, degrees.
    Position {
        /// Latitude.
        lat_deg: f64,
        /// Longitude.
        lon_deg: f64,
    },
}

/// A place, and where the user wrote it.
#[derive(Debug, Clone, PartialEq)]
pub struct WrittenSpot {
    /// The place.
    pub spot: Spot,
    /// Where it was written, for a fault.
    pub place: Place,
}

/// A height that is known better than the survey.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownHeight {
    /// Where.
    pub at: WrittenSpot,
    /// Height, m.
    pub elevation_m: f64,
    /// Its standard deviation, m.
    pub sd_m: f64,
}

/// A station that is known better than the survey: a painted mark, the end of a coil.
#[derive(Debug, Clone, PartialEq)]
pub struct Peg {
    /// Where.
    pub at: WrittenSpot,
    /// The station it carries.
    pub station: OnPegs,
    /// Standard deviation of that station, m, where said.
    pub sd_m: Option<f64>,
}

/// A part of the line surveyed in another way: a levelled reach inside a walk, or the next piece of the line.
#[derive(Debug, Clone, PartialEq)]
pub struct SurveyPart {
    /// What was read for it.
    pub readings: Vec<Reading>,
    /// Where it begins on the line, in the survey's own reckoning; `None`: where the part before it ends.
    pub from: Option<WrittenSpot>,
    /// Where it ends; `None`: as long as it is.
    pub to: Option<WrittenSpot>,
    /// Inside its reach the part rules.
    pub replaces: bool,
    /// Where it was declared, for a fault.
    pub place: Place,
}

/// What `Route::from` must know beside the readings.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RouteOptions {
    /// Which end comes first in the files; `None`: the fall decides, where it is beyond doubt.
    pub from: Option<End>,
    /// Whether the user gave any station: then a line is never turned without `from`.
    pub stations_used: bool,
    /// Where the pipe begins on the track, if not at its end.
    pub intake: Option<WrittenSpot>,
    /// Where the pipe ends on the track.
    pub turbine: Option<WrittenSpot>,
    /// Whether station differences of a book were taken along the slope (`true`) or level; `None`: as the book says, else asked for on a steep line.
    pub along_slope: Option<bool>,
    /// Known heights.
    pub ties: Vec<KnownHeight>,
    /// Known stations.
    pub pegs: Vec<Peg>,
    /// Parts of other kinds.
    pub parts: Vec<SurveyPart>,
    /// Seed and number of draws for the heights.
    pub heights: HeightsOptions,
}
