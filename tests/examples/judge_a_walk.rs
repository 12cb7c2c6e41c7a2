//! A level book alone: where the line climbs, and how sure that is. No pipe is needed.

use std::error::Error;
use std::path::Path;
use steadyfall::route::{Route, RouteOptions};
use steadyfall::{study, survey};

/// Reads the book of a sample and lists its climbs for a bore of 25 mm.
pub fn main() -> Result<(), Box<dyn Error>> {
    let file =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-surveys/juniper-draw/level-book.csv");
    let reading = survey::read(&file, None, &survey::ReadOptions::default())?;
    let route = Route::from(&[reading], &RouteOptions::default())?;
    let judged = study::survey(route, 0.025);
    for climb in &judged.profile.climbs {
        println!(
            "low {:.1} m, crest {:.1} m: {:.0} %",
            climb.low_station_m,
            climb.crest_station_m,
            100.0 * climb.probability
        );
    }
    Ok(())
}
