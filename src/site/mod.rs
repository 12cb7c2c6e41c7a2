//! What the user declares in the site file, checked; nothing computed.

mod at;
mod blank;
mod bounds;
mod given;
mod keys;
mod options;
mod paper;
mod parts;
mod print;
mod read;
mod read_at;
mod read_booked;
mod read_parts;
mod read_pipe;
mod read_run;
mod read_state;
mod read_survey;
mod read_works;
mod rules;
mod said;
mod section;
mod survey;
mod value;
mod whole;
mod words;
mod works;

pub use at::{At, Date, GaugeAt};
pub use blank::{blank, blank_gauging, blank_sheet};
pub use given::{Change, Given, Table, Value, changed, given};
pub use keys::{Form, Key, keys, tables};
pub use options::{Wish, from_options, taped};
pub use parts::{
    Case, CaseRuns, Draw, Fitting, FloodReach, Gauge, GroundReach, Jet, LaidReach, Mark, Movement,
    Moves, Runaway, Turbine, WaterWay,
};
pub use print::options_text;
pub use read::{read_bytes_of, read_file, read_survey_file, read_survey_text, read_text};
pub use said::Said;
pub use survey::{
    Booked, Datum, Doubts, End, Part, Peg, Receiver, Spread, Survey, SurveyKind, Surveyed, Tape,
    Taped, Tie,
};
pub use whole::{
    Intake, Limits, PipeRun, Regrade, Site, Situation, Stream, TitleBlock, Water, WorkOrder,
};
pub use works::{Basin, Corrosion, Grit, MetalPart, PressureTest, Record, Screen};

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
    let logs = survey.pressure_log.iter().chain(&survey.base_log);
    let gauged = site.stream.iter().flat_map(|stream| &stream.files);
    std::iter::once(PathBuf::from(&site.file))
        .filter(|file| !file.as_os_str().is_empty())
        .chain(
            survey
                .files
                .iter()
                .chain(parts)
                .chain(logs)
                .chain(gauged)
                .chain(&site.prices)
                .map(|file| path_beside(&site.file, &file.value)),
        )
        .collect()
}
