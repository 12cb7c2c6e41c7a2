use super::{Date, DeclaredPlace, Located};
use crate::reading::{LevellingOrder, Method, Spread, Tape, WalkDevice};
use crate::unit::OnPegs;

/// What `[survey]` says: the files of one kind, or parts of different kinds, and what is known better than they.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredSurvey {
    /// Files of one kind, as written: paths from the site file's folder.
    pub files: Vec<Located<String>>,
    /// Their kind, where said.
    pub kind: Option<Method>,
    /// What was surveyed, where said.
    pub of: Option<SurveyedLine>,
    /// Which end comes first, where said.
    pub from: Option<DeclaredEnd>,
    /// Where the pipe begins on the track.
    pub intake: Option<Located<DeclaredPlace>>,
    /// Where it ends.
    pub turbine: Option<Located<DeclaredPlace>>,
    /// Whether the tape lay on the slope or level, where said.
    pub taped: Option<Taped>,
    /// What kind of receiver walked it, where said.
    pub receiver: Option<WalkDevice>,
    /// Whether the receiver takes its heights from the pressure of the air, where said.
    pub barometer: Option<bool>,
    /// A log of the pressure of the air that ran during the walk, as written.
    pub pressure_log: Option<Located<String>>,
    /// The same of a logger that stood still.
    pub base_log: Option<Located<String>>,
    /// Temperature of the air during the walk, C, for heights from its pressure.
    pub air_temperature_c: Option<f64>,
    /// Day of the survey.
    pub date: Option<Date>,
    /// The user's own doubts.
    pub doubts: Doubts,
    /// How its books were kept.
    pub booked: Booked,
    /// What heights count from, where said.
    pub datum: Option<Datum>,
    /// Parts of different kinds, in the order of the file.
    pub parts: Vec<DeclaredPart>,
    /// Heights known better than the survey.
    pub ties: Vec<DeclaredTie>,
    /// Stations known better than the survey.
    pub pegs: Vec<DeclaredPeg>,
}

impl DeclaredSurvey {
    /// Files of one kind, of which nothing else is said.
    pub(crate) fn of_files(files: Vec<Located<String>>) -> Self {
        Self {
            files,
            kind: None,
            of: None,
            from: None,
            intake: None,
            turbine: None,
            taped: None,
            receiver: None,
            barometer: None,
            pressure_log: None,
            base_log: None,
            air_temperature_c: None,
            date: None,
            doubts: Doubts::default(),
            booked: Booked::default(),
            datum: None,
            parts: Vec::new(),
            ties: Vec::new(),
            pegs: Vec::new(),
        }
    }
}

crate::text::words! {
    /// What was surveyed.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum SurveyedLine {
        Ground = "ground",
        PipeTop = "pipe top",
        /// The pipe's centre.
        PipeCentre = "pipe centre" | "pipe center",
        /// The lowest point of the bore.
        Invert = "invert",
        TrenchBed = "trench bed",
    }
}

crate::text::words! {
    /// An end of the pipe.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum DeclaredEnd {
        Intake = "intake",
        Turbine = "turbine",
    }
}

crate::text::words! {
    /// How lengths were taped.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Taped {
        /// Along the slope.
        Slope = "slope",
        /// Level.
        Horizontal = "horizontal",
    }
}

crate::text::words! {
    /// What heights count from.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Datum {
        Sea = "sea",
        /// A point of the survey's own.
        Local = "local",
    }
}

/// Standard deviations the user gives of the survey's readings; `None` takes the method's own.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Doubts {
    /// Of a point's height, m.
    pub point_sd_m: Option<f64>,
    /// Of a set-up of the level, m.
    pub setup_sd_m: Option<f64>,
    /// Of an angle read, rad.
    pub angle_sd_rad: Option<f64>,
    /// Of the clinometer's index, shared by all its angles, rad.
    pub index_sd_rad: Option<f64>,
    /// Of a gauge reading, Pa.
    pub pressure_sd_pa: Option<f64>,
}

/// How a field book was kept and with what: what its columns do not say.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Booked {
    /// Order of levelling its misclosure is held to; else that of `[limits]`.
    pub misclosure: Option<LevellingOrder>,
    /// How an allowed misclosure is spread.
    pub spread: Option<Spread>,
    /// Longest staff in use, m.
    pub staff_m: Option<f64>,
    /// Height of the eye above the ground, m, where the book has no column of it.
    pub eye_m: Option<f64>,
    /// What true north lies off magnetic north, rad, east positive.
    pub declination_rad: Option<f64>,
    /// What the clinometer shows on a level sight, rad: taken off every angle.
    pub index_error_rad: Option<f64>,
    /// `[survey.tape]`: the tape against its standard, and how it was held; what was not said is as usual.
    pub tape: Option<Tape>,
}

/// Part of a survey: files of one kind over a reach.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredPart {
    /// Its files.
    pub files: Vec<Located<String>>,
    /// Their kind, where said.
    pub kind: Option<Method>,
    /// What was surveyed, where it differs from `[survey]`.
    pub of: Option<SurveyedLine>,
    /// How lengths were taped, where it differs.
    pub taped: Option<Taped>,
    /// Where the reach begins.
    pub from: Option<Located<DeclaredPlace>>,
    /// Where it ends.
    pub to: Option<Located<DeclaredPlace>>,
    /// Inside the reach the part rules.
    pub replaces: bool,
    /// Its own doubts.
    pub doubts: Doubts,
    /// How its books were kept, where that differs.
    pub booked: Booked,
    /// Where it stands.
    pub said: Located<()>,
}

/// A height known better than the survey.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredTie {
    /// Where.
    pub at: Located<DeclaredPlace>,
    /// Height, m.
    pub elevation_m: f64,
    /// Its standard deviation, m, where said.
    pub sd_m: Option<f64>,
}

/// A station known better than the survey.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredPeg {
    /// Where it is: a waypoint or a position.
    pub at: Located<DeclaredPlace>,
    /// Its station.
    pub station: OnPegs,
    /// Its standard deviation, m, where said.
    pub sd_m: Option<f64>,
}
