use crate::receiver::{Errors, Expected};

/// A few readings of one pass taken together (about 3 s), on their station.
///
/// Stations are along the line, brought there by the plan; a stop keeps its blocks, all on one station, for they show the drift and the white part by themselves.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct ReadingBlock {
    /// Which pass, from 0.
    pub pass: usize,
    /// Time in the pass's own clock, s; `None` where the file has no times (the drift then runs along the line).
    pub clock_s: Option<f64>,
    /// Station along the line, m.
    pub station_m: f64,
    /// Mean height of the readings, m.
    pub height_m: f64,
    /// How many readings stand behind it, at least 1.
    pub count: f64,
    /// Standard deviation of what rounding took from it, m: 0 where the file writes fine heights.
    pub rounded_sd_m: f64,
    /// Dilution of precision where the file gives one: readings of a dilution above the pass's usual weigh less.
    pub dilution: Option<f64>,
}

/// A height that is known better than the walk: a tie of the site file, a surveyed point.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Tie {
    /// Station along the line, m.
    pub station_m: f64,
    /// Height, m.
    pub height_m: f64,
    /// Its standard deviation, m.
    pub sd_m: f64,
}

/// A reach that was levelled, held against walks: its points know each other well, its datum may be another.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Levelled {
    /// Points with the independent part of their doubt.
    pub points: Vec<Tie>,
    /// How well its datum is known against the walk's, m: 0 where both hang on the same known height, about 10 where it is local.
    pub datum_sd_m: f64,
}

/// A surveyed point of a reduced book on its station.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct BookNode {
    /// Station along the line, m.
    pub station_m: f64,
    /// Reduced height, m.
    pub height_m: f64,
    /// Independent part of its standard deviation, m.
    pub sd_m: f64,
}

/// What the caller may choose.
#[derive(Debug, Clone, PartialEq)]
pub struct HeightsOptions {
    /// Seed of the draws: the same seed gives the same draws.
    pub seed: u64,
    /// How many draws; `None`: by the number of walks and the length of the line (400 to 2,400).
    pub draws: Option<usize>,
    /// Heights are copied from a terrain model: passes agree for the wrong reason, so one drift is shared by all, along the line, and not below 1.5 m.
    pub terrain_model: bool,
    /// Standard deviation of a pass's offset, m.
    pub offset_sd_m: f64,
    /// What is expected of the receiver.
    pub expected: Expected,
    /// Standard deviation of the scale of all heights together, as a share: heights from the pressure of air whose temperature is in doubt.
    pub scale_sd: f64,
}

impl Default for HeightsOptions {
    fn default() -> Self {
        Self {
            seed: 1,
            draws: None,
            terrain_model: false,
            offset_sd_m: 10.0,
            expected: Expected::default(),
            scale_sd: 0.0,
        }
    }
}

/// What a posterior rests on.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Noise {
    /// Whether the errors were followed in time (else along the line).
    pub in_time: bool,
    /// Passes with readings.
    pub walks: usize,
}

/// One walk as its heights were judged: its readings on the line, and how they err.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct FollowedWalk {
    /// The number of its pass as it was given.
    pub pass: usize,
    /// Blocks of some seconds on the route's stations, m, in the order of the walk's clock.
    pub blocks: Vec<ReadingBlock>,
    /// How its readings err: the middle of what is likely after all walks were held against each other.
    pub errors: Errors,
}

impl FollowedWalk {}

/// Two walks that say different things of a reach.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct AtOdds {
    /// The two, by the number of their pass.
    pub passes: (usize, usize),
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// How far they part at most there, beside what they part in the middle of their common way, m.
    pub apart_m: f64,
}
