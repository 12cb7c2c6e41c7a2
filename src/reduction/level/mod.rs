//! The level book: rows to set-ups and staff points, closed on what is known.
//!
//! A row is a staff point. A backsight opens a set-up, intermediate sights belong to it, a foresight ends it;
//! a change point carries both on one row, or the foresight on one row and the backsight on the next.

mod close;
mod doubt;
mod reduce;
mod section;
mod suspect;

pub use close::{Adjusted, Closed, close};
pub use reduce::{SoFar, reduce, so_far};

/// A row of a level book, in metres, as booked.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LevelRow {
    /// Row of the sheet it came from.
    pub row: usize,
    /// Station, m.
    pub station_m: Option<f64>,
    /// Backsight, m.
    pub bs_m: Option<f64>,
    /// Intermediate sight, m.
    pub is_m: Option<f64>,
    /// Foresight, m.
    pub fs_m: Option<f64>,
    /// Booked rise against the reading before, m.
    pub rise_m: Option<f64>,
    /// Booked fall against the reading before, m.
    pub fall_m: Option<f64>,
    /// Known height, m; a book where every row has one is a reduced book, whose figures are checked.
    pub elevation_m: Option<f64>,
    /// Name of the point.
    pub point: String,
    /// Name of the set-up.
    pub setup: String,
}

/// A reduced level book, before it is closed on anything.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Levels {
    /// Places the staff stood on, in the order of the book, each once.
    pub points: Vec<StaffPoint>,
    /// Set-ups in the order of the book.
    pub setups: Vec<Setup>,
    /// Page sums.
    pub sums: PageSums,
    /// What was noticed, by row.
    pub notes: Vec<(usize, String)>,
}

/// A place the staff stood on.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct StaffPoint {
    /// Station, m.
    pub station_m: Option<f64>,
    /// Name, free text.
    pub name: String,
    /// Row where it was first read.
    pub row: usize,
    /// Known height, m.
    pub known_m: Option<f64>,
    /// Height carried on from the start of its run, m, before any adjustment.
    pub height_m: f64,
    /// Which run it belongs to: a run is a string of set-ups joined by change points.
    pub run: usize,
    /// Set-ups from the start of its run.
    pub count: usize,
    /// Levelled distance from the start of its run, m.
    pub distance_m: f64,
}

/// One stand of the instrument.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Setup {
    /// Which run.
    pub run: usize,
    /// Height of the line of sight, m, before any adjustment.
    pub instrument_m: f64,
    /// Readings from here, the backsight first.
    pub sights: Vec<LevelReading>,
}

/// One reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LevelReading {
    /// Index of the point.
    pub point: usize,
    /// Reading, m; negative with the staff upside down.
    pub reading_m: f64,
    /// Backsight, intermediate or foresight.
    pub kind: SightKind,
    /// Row of the sheet.
    pub row: usize,
}

/// What a reading is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SightKind {
    /// Backsight.
    Back,
    /// Intermediate sight.
    Between,
    /// Foresight.
    Fore,
}

impl SightKind {
    /// Head of its column.
    pub fn column(self) -> &'static str {
        match self {
            Self::Back => "bs",
            Self::Between => "is",
            Self::Fore => "fs",
        }
    }
}

/// Sums of a page for the arithmetic check.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct PageSums {
    /// Sum of backsights, m.
    pub bs_m: f64,
    /// Sum of foresights, m.
    pub fs_m: f64,
    /// Sum of rises, m.
    pub rise_m: f64,
    /// Sum of falls, m.
    pub fall_m: f64,
    /// Last height less first, m, summed over the runs.
    pub change_m: f64,
}

impl PageSums {
    /// What the arithmetic check leaves over, m: the larger of the two ways; zero but for rounding.
    pub fn left_m(&self) -> f64 {
        let by_sights = self.bs_m - self.fs_m - self.change_m;
        let by_rises = self.rise_m - self.fall_m - self.change_m;
        by_sights.abs().max(by_rises.abs())
    }
}
