//! What the user declares in the site file, checked; nothing computed.

mod at;
mod parts;
mod said;
mod survey;
mod whole;

pub use at::{At, Date, GaugeAt};
pub use parts::{
    Case, CaseRuns, Draw, Fitting, FloodReach, Gauge, GroundReach, Jet, LaidReach, Mark, Movement,
    Moves, Turbine, WaterWay,
};
pub use said::Said;
pub use survey::{Datum, Doubts, End, Part, Peg, Survey, SurveyKind, Surveyed, Taped, Tie};
pub use whole::{
    Intake, Level, Limits, OwnPipe, PipeRun, Regrade, Site, Situation, Stream, Water, WorkOrder,
};

use crate::text::Fault;
use std::path::{Path, PathBuf};

/// Reads a site file's text. Every fault that could be told is in the list, in the order of the file.
pub fn read_text(file: &str, text: &str) -> Result<Site, Vec<Fault>> {
    let _ = (file, text);
    Err(Vec::new())
}

/// A file named in a site file: as written where it is absolute, else from the folder of the site file.
pub fn path_beside(site_file: &str, named: &str) -> PathBuf {
    Path::new(site_file)
        .parent()
        .map_or_else(|| PathBuf::from(named), |folder| folder.join(named))
}
