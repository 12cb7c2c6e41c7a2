//! What the user declares in the site file, checked; nothing computed.

mod at;
pub(crate) mod bounds;
mod diagnostics;
pub(crate) mod key;
mod located;
mod parts;
pub(crate) mod read;
pub(crate) mod read_at;
mod read_booked;
mod read_parts;
mod read_pipe;
mod read_run;
mod read_state;
mod read_survey;
mod read_works;
mod rules;
mod section;
mod survey;
pub(crate) mod value;
mod whole;
pub(crate) mod words;
mod works;

pub use at::{Date, DeclaredPlace, GaugeAt};
pub use key::{Key, KeyForm};
pub use located::Located;
pub use parts::{
    CaseRuns, DeclaredCase, DeclaredFitting, DeclaredGauge, DeclaredJet, DeclaredMark,
    DeclaredMovement, DeclaredRunaway, Draw, FloodReach, GroundReach, LaidReach, Mover, Turbine,
    WaterWay,
};
pub use read::{read_bytes_of, read_file, read_survey_file, read_text};
pub use survey::{
    Booked, Datum, DeclaredEnd, DeclaredPart, DeclaredPeg, DeclaredSurvey, DeclaredTie, Doubts,
    SurveyedLine, Taped,
};
pub use whole::{
    DeclaredIntake, DeclaredSituation, DeclaredStream, DeclaredWater, Limits, PipeRun, RegradeWish,
    Site,
};
pub use works::{
    Analysis, Basin, DeclaredCorrosion, DeclaredMetalPart, Grit, PressureTest, Record, Screen, Worn,
};

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
