use crate::text::{Place, Remark, digest};

crate::text::words! {
    /// How a survey was taken.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Method {
        /// Walked with a receiver.
        Gpx = "gpx",
        /// Level and staff.
        Level = "level",
        /// Tape with clinometer, grade, steps, water tube or stadia.
        Angle = "angle",
        /// Plain points.
        Points = "points",
        /// Pressure gauge along a filled hose.
        Gauge = "gauge",
        /// Parts of different kinds.
        Mixed = "mixed",
    }
}

/// A file as it was read: by these three anybody can tell which file was judged.
#[derive(Debug, Clone, Default, PartialEq, Eq, serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Source {
    /// Name of the file, as given.
    pub file: String,
    /// Size of the file in bytes.
    pub bytes: usize,
    /// SHA-256 of the file, in hexadecimal.
    pub sha256: String,
}

impl Source {
    /// Of the bytes of a file.
    pub fn of(file: &str, bytes: &[u8]) -> Self {
        Self {
            file: file.to_owned(),
            bytes: bytes.len(),
            sha256: digest(bytes),
        }
    }
}

/// What one file gave.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// How it was taken.
    pub method: Method,
    /// The file.
    pub file: String,
    /// What was read: set by whoever had the bytes.
    pub source: Source,
    /// Points or readings found in the file.
    pub points_read: usize,
    /// Walks or a reduced book.
    pub data: Data,
    /// Named places off the line: waypoints.
    pub places: Vec<NamedPlace>,
    /// What the reader did or noticed.
    pub remarks: Vec<Remark>,
}

/// The two shapes of survey data.
#[derive(Debug, Clone, PartialEq)]
pub enum Data {
    /// Passes of a receiver over the line.
    Walks(Vec<Pass>),
    /// Points reduced from a book or table.
    Book(Book),
}

/// One walk over the line: a track, in segments where reception broke.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Pass {
    /// The track's name, free text.
    pub name: String,
    /// Segments in the order of the file.
    pub segments: Vec<Vec<Fix>>,
    /// A route drawn on a map, not a recorded walk.
    pub drawn: bool,
}

/// One fix of a receiver.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fix {
    /// Latitude, degrees, -90 to 90, WGS 84.
    pub lat_deg: f64,
    /// Longitude, degrees, -180 to 180, WGS 84.
    pub lon_deg: f64,
    /// Height, m; always finite when present.
    pub elevation_m: Option<f64>,
    /// Time, s since 1970 UTC.
    pub time_s: Option<f64>,
    /// Dilution of precision, vertical where given, else horizontal or position.
    pub dilution: Option<f32>,
    /// Doubt that the file states, m: of the height where it says so, else of the position. A hint, never believed alone: it may weigh a fix against the
    /// others of its walk, it never makes the walk surer than its scatter shows.
    pub stated_sd_m: Option<f32>,
    /// Line in the file, from 1; the number of the record or fix where the file has no lines.
    pub line: u32,
}

/// A named place: a waypoint, a named point of a book, a peg.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedPlace {
    /// Free text from the file.
    pub name: String,
    /// Where it is on the earth.
    pub lat_deg: f64,
    /// Where it is on the earth.
    pub lon_deg: f64,
    /// Its height if given.
    pub elevation_m: Option<f64>,
    /// Where it stood in the file.
    pub place: Place,
}

/// A reduced book: points in the order of the book, with their doubt.
///
/// The error of point i is `sd_m[i] * e_i + sum over factors k of factor_k[i] * g_k`, all e and g standard normal and independent:
/// so a set-up's error, an index error or a datum error that many points share stands in one factor.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Book {
    /// Points in the order of the book.
    pub points: Vec<BookPoint>,
    /// Errors shared by many points: each one value a point, m.
    pub factors: Vec<Vec<f64>>,
    /// Whether station differences were measured along the slope (else level). `None`: not said and not asked yet.
    pub along_slope: Option<bool>,
    /// Standard deviation of station differences, as a share of the distance.
    pub station_sd_share: f64,
    /// Misclosure, where the book closes on something known.
    pub misclosure: Option<Misclosure>,
    /// Whether heights are tied to a known height (else the datum is local).
    pub tied: bool,
    /// Number of set-ups of the level, where there are any.
    pub setups: usize,
}

/// One point of a reduced book.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct BookPoint {
    /// Station in the book's own reckoning, m; `None` where only a position is given.
    pub station_m: Option<f64>,
    /// Height, m; `None` where the row only names a place.
    pub height_m: Option<f64>,
    /// Independent part of the height's standard deviation, m.
    pub sd_m: f64,
    /// Position, where the sheet gives one.
    pub position: Option<Position>,
    /// Name or point number, free text.
    pub name: String,
    /// Where it stands in the file.
    pub place: Place,
}

/// A position as the sheet gives it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Position {
    /// Degrees on the earth.
    Geographic {
        /// Latitude, degrees.
        lat_deg: f64,
        /// Longitude, degrees.
        lon_deg: f64,
    },
    /// Metres on a local grid.
    Grid {
        /// East, m.
        east_m: f64,
        /// North, m.
        north_m: f64,
    },
}

/// How far a book fails to close.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Misclosure {
    /// Computed minus known, m.
    pub found_m: f64,
    /// Allowed by the stated order of work, m.
    pub allowed_m: f64,
}
