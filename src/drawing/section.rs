use super::frame::Words;
use super::ink::Pen;
use super::symbol::Symbol;
use crate::unit::Units;

/// Everything a longitudinal section shows, in SI, with the words for it.
#[derive(Debug, Clone)]
pub struct LongSection {
    /// Units of the rulings.
    pub units: Units,
    /// Stations of the grid, m, strictly rising.
    pub station_m: Vec<f64>,
    /// The same as the user has them, m: on the pegs, rising or falling.
    pub pegs_m: Vec<f64>,
    /// Height of the pipe's centre at each, m.
    pub elevation_m: Vec<f64>,
    /// Its standard deviation, m.
    pub sd_m: Vec<f64>,
    /// Height of the ground where it is known apart from the pipe, m.
    pub ground_m: Vec<Option<f64>>,
    /// Lines over the pipe: water levels, surges, ratings.
    pub series: Vec<Series>,
    /// Pipes from station to station.
    pub zones: Vec<PipeBand>,
    /// Reaches that climb or may climb.
    pub humps: Vec<ClimbReach>,
    /// What stands on the line and what is wanted, in order of station.
    pub tags: Vec<Tag>,
    /// Rows of the table under the axis.
    pub rows: Vec<TableRow>,
    /// Stations that deserve a column of the table before others, m.
    pub columns_m: Vec<f64>,
    /// What each sign means.
    pub legend: Vec<(LegendKey, String)>,
    /// Title block: what, and the words.
    pub notes: Vec<(String, String)>,
    /// Words of the frame.
    pub words: Words,
}

/// A line of the section: head against station, in one or more pieces.
#[derive(Debug, Clone)]
pub struct Series {
    /// Which line it is.
    pub trace: SectionLine,
    /// What it is called.
    pub name: String,
    /// Station and height, m.
    pub chains_m: Vec<Vec<(f64, f64)>>,
}

/// Which line it is: says how it is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SectionLine {
    /// Level of the standing water.
    Still,
    /// Grade line of a running case.
    Running,
    /// Highest head in any movement.
    SurgeHigh,
    /// Lowest head in any movement.
    SurgeLow,
    /// What the pipe may take, as a head above it.
    Rating,
    /// Where the pipe would lie once it falls all the way.
    Regraded,
    /// Where the pipe lay before a storm.
    Before,
}

impl SectionLine {
    /// Whether it is a head over the pipe: a pressure; else a height of the pipe itself.
    pub fn is_head(self) -> bool {
        !matches!(self, Self::Regraded | Self::Before)
    }

    /// How it is drawn.
    pub fn pen(self) -> Pen {
        use super::ink::Ink;
        match self {
            Self::Still => Ink::STILL_PEN,
            Self::Running => Ink::RUNNING_PEN,
            Self::SurgeHigh => Ink::SURGE_HIGH_PEN,
            Self::SurgeLow => Ink::SURGE_LOW_PEN,
            Self::Rating => Ink::RATING_PEN,
            Self::Regraded => Ink::REGRADED_PEN,
            Self::Before => Ink::BEFORE_PEN,
        }
    }
}

/// One pipe from station to station.
#[derive(Debug, Clone)]
pub struct PipeBand {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Its words, the longest first: the first that fits is drawn.
    pub names: Vec<String>,
}

/// A reach that climbs or may climb.
#[derive(Debug, Clone)]
pub struct ClimbReach {
    /// Where it is and how far it rises, in words.
    pub label: String,
    /// The whole reach in which it may climb, m.
    pub reach_m: (f64, f64),
    /// Low before it, m.
    pub low_m: f64,
    /// Crest, m.
    pub crest_m: f64,
    /// Down again, m.
    pub end_m: f64,
    /// It climbs; else the survey cannot tell.
    pub certain: bool,
}

/// Something at a station, with its symbol and its label.
#[derive(Debug, Clone)]
pub struct Tag {
    /// Where, m.
    pub station_m: f64,
    /// Where the last of a row of the same kind is, m, where the tag speaks for a row.
    pub to_m: Option<f64>,
    /// Its symbol.
    pub symbol: Symbol,
    /// It is wanted; else it stands.
    pub wanted: bool,
    /// What is written beside it.
    pub label: String,
    /// Number in a series of its kind ("J3"), for labels that must be put together.
    pub id: String,
    /// It must keep its label; others give way first.
    pub matters: bool,
}

/// A row of the table: a figure a station, or one between neighbouring columns.
#[derive(Debug, Clone)]
pub struct TableRow {
    /// What it is.
    pub name: String,
    /// Its unit; empty for none.
    pub unit: String,
    /// Figures on the grid, SI; between columns where `between` is set.
    pub figures: Vec<Option<f64>>,
    /// The figure is a difference to the next column over their distance.
    pub between: bool,
    /// How a figure is written.
    pub write: Write,
}

/// How a figure of the table is written.
#[derive(Debug, Clone, Copy)]
pub enum Write {
    /// In a unit of so many SI units, with so many decimals.
    Plain {
        /// The unit's size.
        size: f64,
        /// Decimals.
        decimals: usize,
    },
    /// By words of its own.
    Words(fn(f64) -> String),
}

impl TableRow {
    /// What it is and in which unit.
    pub fn head(&self) -> String {
        if self.unit.is_empty() {
            self.name.clone()
        } else {
            format!("{}, {}", self.name, self.unit)
        }
    }
}

impl Write {
    /// The figure as written; nought has no sign.
    pub fn figure(self, value: f64) -> String {
        match self {
            Self::Words(words) => words(value),
            Self::Plain { size, decimals } => {
                let text = format!("{:.decimals$}", value / size);
                if text.chars().any(|c| matches!(c, '1'..='9')) {
                    text
                } else {
                    text.trim_start_matches('-').to_owned()
                }
            }
        }
    }
}

/// A sign in the legend.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LegendKey {
    /// The pipe.
    Pipe,
    /// Its band of doubt.
    Doubt,
    /// The ground.
    Ground,
    /// A line.
    Trace(SectionLine),
    /// A reach that climbs, with its pocket.
    Climb,
    /// A reach of which the survey cannot tell.
    Unsure,
    /// A reach that climbs, from above.
    PlanClimb,
    /// A reach of which the survey cannot tell, from above.
    PlanUnsure,
    /// A bend, from above.
    Bend,
    /// A thrust that the joints carry, or (false) that wants a block, from above.
    Push(bool),
    /// A movement, from above.
    Moved,
    /// A symbol as it stands.
    Stands(Symbol),
    /// A symbol as it is wanted.
    Wanted(Symbol),
}

impl LongSection {
    /// The first station, m: 0 but where a part of the line is drawn.
    pub fn first_m(&self) -> f64 {
        self.station_m.first().copied().unwrap_or(0.0)
    }

    /// Length of what is drawn, m.
    pub fn length_m(&self) -> f64 {
        self.station_m.last().copied().unwrap_or(0.0) - self.first_m()
    }

    /// Height of the pipe at a station, m.
    pub fn elevation_at(&self, station_m: f64) -> f64 {
        crate::numeric::series::interpolate(&self.station_m, &self.elevation_m, station_m)
    }
}
