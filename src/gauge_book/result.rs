//! What a book of readings says.

use super::cause::Cause;
use super::channel::ChannelKind;
use super::scan::TimeCourse;
use crate::pipe::RunState;

/// What a book of readings says.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedBook {
    /// Readings of one kind in one state at one place, in the order of the book.
    pub rows: Vec<Readings>,
    /// What changed, in the order of its beginning.
    pub episodes: Vec<Episode>,
    /// Readings that stand alone between others that agree: read again.
    pub alone: Vec<usize>,
    /// How a change that grows goes on; `None` where none grows or the readings do not bear it.
    pub forecast: Option<Forecast>,
    /// The first and the last day, days since 1970.
    pub days: (f64, f64),
    /// How far the level at the intake wanders by itself, m.
    pub wander_m: f64,
    /// The state of the largest flow, which sizes are told in; `None` where nothing runs.
    pub largest: Option<RunState>,
}

impl JudgedBook {
    /// Share of the water's power that the changes still there take together, by the first cause of each; `None` where none takes power.
    pub fn lost_now(&self) -> Option<f64> {
        let now = self.episodes.iter().filter(|e| e.on_now);
        let left: f64 = now
            .filter_map(|e| e.suspects.first()?.power_lost)
            .map(|lost| 1.0 - lost.clamp(0.0, 1.0))
            .product();
        (left < 1.0 - 0.005).then_some(1.0 - left)
    }
}

/// Readings of one kind in one state at one place.
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    /// What is read.
    pub kind: ChannelKind,
    /// In which state.
    pub state: RunState,
    /// Where, m along the line.
    pub station_m: f64,
    /// What should be read as computed (m of water, m3/s, W).
    pub computed: f64,
    /// Standard deviation of that.
    pub computed_sd: f64,
    /// What is read more than computed while nothing has changed, from the first reading on.
    pub off: f64,
    /// Standard deviation of one reading.
    pub noise: f64,
    /// Day, what was read, and what the changes found explain of it.
    pub points: Vec<ExplainedReading>,
}

/// A reading beside what explains it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExplainedReading {
    /// Days since 1970.
    pub day: f64,
    /// As read.
    pub read: f64,
    /// As computed, with the channel's own level and every change found.
    pub explained: f64,
    /// It stands alone and was left out.
    pub alone: bool,
}

/// A change.
#[derive(Debug, Clone, PartialEq)]
pub struct Episode {
    /// When it begins, is full, and ends.
    pub course: TimeCourse,
    /// It is still there at the last reading.
    pub on_now: bool,
    /// Logarithm of the likelihood ratio against no change.
    pub ratio: f64,
    /// What it may be, the likeliest first; chances add up to 1.
    pub suspects: Vec<Suspect>,
    /// What to read to tell the first from the next; `None` where no reading would.
    pub next: Option<ReadNext>,
}

impl Episode {
    /// The suspects that these readings cannot tell from the first one: each with more than a third of its chance.
    pub fn alike(&self) -> &[Suspect] {
        let least = self.suspects.first().map_or(0.0, |s| s.chance / 3.0);
        let count = self.suspects.iter().take_while(|s| s.chance > least);
        self.suspects.get(..count.count()).unwrap_or(&[])
    }
}

/// What a change may be.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspect {
    /// The cause.
    pub cause: Cause,
    /// How likely, 0 to 1, of the causes that this plant can have.
    pub chance: f64,
    /// Its size in its own measure: head at the largest flow (m), share of the way to slimed, m, m, share of the jets' area twice, m, m3/s.
    pub size: f64,
    /// Standard deviation of that.
    pub size_sd: f64,
    /// What it adds to the gauge at the turbine when shut, m.
    pub shut_m: Option<f64>,
    /// What it adds to the gauge at the turbine in the state of the largest flow, m.
    pub running_m: Option<f64>,
    /// Share of the water's power that it takes in that state.
    pub power_lost: Option<f64>,
    /// When it would have begun, been full, ended.
    pub course: TimeCourse,
}

/// What to read next.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadNext {
    /// What.
    pub kind: ChannelKind,
    /// In which state.
    pub state: RunState,
    /// What it should be for the first suspect and for the other.
    pub expected: (f64, f64),
    /// The suspect that it tells from the first.
    pub rival: Cause,
}

/// How a change that grows goes on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Forecast {
    /// What grows.
    pub cause: Cause,
    /// Share of the power that is gone on the last day.
    pub lost_now: f64,
    /// The day on which 5 % of the power are gone, earliest, likeliest and latest; `None` if that is past or too far.
    pub five: Option<(f64, f64, f64)>,
    /// The same for 10 %.
    pub ten: Option<(f64, f64, f64)>,
    /// Readings it rests on.
    pub readings: usize,
}
