//! What the user declares in the site file, checked; nothing computed.

mod at;
mod blank;
mod bounds;
mod options;
mod paper;
mod parts;
mod read;
mod read_at;
mod read_booked;
mod read_parts;
mod read_pipe;
mod read_run;
mod read_state;
mod read_survey;
mod rules;
mod said;
mod section;
mod survey;
mod value;
mod whole;
mod words;

pub use at::{At, Date, GaugeAt};
pub use blank::{blank, blank_sheet};
pub use options::{Wish, from_options, options_text};
pub use parts::{
    Case, CaseRuns, Draw, Fitting, FloodReach, Gauge, GroundReach, Jet, LaidReach, Mark, Movement,
    Moves, Turbine, WaterWay,
};
pub use read::{read_file, read_survey_file, read_survey_text, read_text};
pub use said::Said;
pub use survey::WorkOrder;
pub use survey::{
    Booked, Datum, Doubts, End, Part, Peg, Spread, Survey, SurveyKind, Surveyed, Tape, Taped, Tie,
};
pub use whole::{Intake, Limits, PipeRun, Regrade, Site, Situation, Stream, Water};

use std::path::{Path, PathBuf};

/// A file named in a site file: as written where it is absolute, else from the folder of the site file.
pub fn path_beside(site_file: &str, named: &str) -> PathBuf {
    Path::new(site_file)
        .parent()
        .map_or_else(|| PathBuf::from(named), |folder| folder.join(named))
}

/// Every file that a site is read from: its own and those of its survey.
pub fn files_read(site: &Site) -> Vec<PathBuf> {
    let survey = &site.survey;
    let parts = survey.parts.iter().flat_map(|part| &part.files);
    std::iter::once(PathBuf::from(&site.file))
        .filter(|file| !file.as_os_str().is_empty())
        .chain(
            survey
                .files
                .iter()
                .chain(parts)
                .map(|file| path_beside(&site.file, &file.value)),
        )
        .collect()
}
