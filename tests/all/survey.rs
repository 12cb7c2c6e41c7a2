//! Receivers' files and the routes made of them, whole.

mod gpx_faults;
mod gpx_mutants;
mod gpx_tracks;
mod suspect_walks;
mod walks;

use steadyfall::survey::{Data, Pass, Reading};

/// The passes of a reading.
pub fn passes(reading: &Reading) -> &[Pass] {
    match &reading.data {
        Data::Walks(passes) => passes,
        Data::Book(_) => panic!("{}: a book where walks were expected", reading.file),
    }
}

/// A GPX 1.1 file round some content.
pub fn gpx(content: &str) -> String {
    format!(
        "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"t\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n{content}\n</gpx>\n"
    )
}

/// The same with one track of one segment.
pub fn track(points: &str) -> String {
    gpx(&format!("<trk><trkseg>\n{points}\n</trkseg></trk>"))
}
