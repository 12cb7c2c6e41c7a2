//! A survey alone: where the line climbs, and how sure that is. No pipe is needed.

use std::path::Path;
use steadyfall::prelude::*;
use steadyfall::reading;
use steadyfall::route::RouteOptions;
use steadyfall::study::JudgedSurvey;
use steadyfall::{study, survey};

/// Reads a survey and judges it for a bore, m.
pub fn judge(file: &Path, bore_m: f64) -> Result<JudgedSurvey, Faults> {
    let reading = survey::read(file, None, &reading::ReadOptions::default())?;
    let route = Route::from(&[reading], &RouteOptions::default())?;
    Ok(study::survey(route, bore_m))
}

/// Lists the climbs of a sample's level book for a bore of 73.6 mm.
pub fn main() -> Result<(), Faults> {
    let book = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/sample-surveys/juniper-draw/level-book.csv"
    );
    for climb in judge(Path::new(book), 0.0736)?.profile.climbs {
        println!(
            "low {:.1} m, crest {:.1} m: climbs in {:.0} % of the lines that are equally likely",
            climb.low_station_m,
            climb.crest_station_m,
            100.0 * climb.probability
        );
    }
    Ok(())
}
