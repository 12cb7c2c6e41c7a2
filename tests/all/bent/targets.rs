use super::{folder, readers};

/// A target: the name of its folder in tests/corpus, and what it does.
pub type Target = (&'static str, fn(&[u8]));

/// Every target. Each panics where its promise is broken.
pub const TARGETS: [Target; 15] = [
    ("unit", readers::unit),
    ("words", readers::words),
    ("sheet", readers::sheet),
    ("site", readers::site),
    ("book", readers::book),
    ("gpx", readers::gpx),
    ("kml", readers::any),
    ("tcx", readers::any),
    ("fit", readers::fit),
    ("nmea", readers::any),
    ("geojson", readers::any),
    ("logger", readers::any),
    ("packed", readers::any),
    ("spreadsheet", readers::spreadsheet),
    ("folder", folder::folder),
];
