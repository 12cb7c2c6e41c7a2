//! A walk as a table: what logging apps of phones write, a row a fix, with its clock and its accuracies.

use super::builder::{Builder, fix_at, stated};
use crate::reading::{Fix, NamedPlace, Reading};
use crate::text::{Fault, Place, Row, Sheet, head_key};
use crate::unit::clock_s;
use crate::unit::exact::FOOT_M;

/// Heads of one meaning, units and brackets aside.
const TIMES: &[&str] = &[
    "time",
    "timestamp",
    "datetime",
    "utc",
    "timeutc",
    "utctime",
    "isotime",
    "dateandtime",
    "elapsed",
    "times",
    "timems",
    "epoch",
    "unixtime",
];
const DATES: &[&str] = &["date", "day", "utcdate"];
const LATS: &[&str] = &["lat", "latitude", "latdeg", "latitudedeg"];
const LONS: &[&str] = &["lon", "lng", "long", "longitude", "londeg", "longitudedeg"];
const HEIGHTS: &[&str] = &[
    "altitude",
    "elevation",
    "height",
    "alt",
    "ele",
    "elev",
    "gpsaltitude",
    "altitudemsl",
    "mslaltitude",
];
const VERTICAL: &[&str] = &[
    "verticalaccuracy",
    "altitudeaccuracy",
    "vaccuracy",
    "vacc",
    "elevationaccuracy",
];
const ACROSS: &[&str] = &[
    "accuracy",
    "horizontalaccuracy",
    "haccuracy",
    "hacc",
    "precision",
];
const DILUTIONS: [&[&str]; 3] = [&["vdop"], &["hdop"], &["pdop"]];
/// A gap longer than this parts two stretches, s.
const GAP_S: f64 = 60.0;

/// A column and metres in its unit.
type LoggerColumn = Option<(usize, f64)>;

/// The column under one of these heads: `_m`, `(m)`, `_ft` may follow.
fn column(sheet: &Sheet, names: &[&str]) -> LoggerColumn {
    sheet.heads.iter().enumerate().find_map(|(i, head)| {
        let key: String = head_key(&head.text)
            .chars()
            .filter(|c| !matches!(c, '-' | '.' | '°'))
            .collect();
        let plain = names.contains(&key.as_str());
        let with = |unit: &str| {
            key.strip_suffix(unit)
                .is_some_and(|base| names.contains(&base))
        };
        if plain || with("m") || with("metres") || with("meters") || with("deg") {
            Some((i, 1.0))
        } else if with("ft") || with("feet") {
            Some((i, FOOT_M))
        } else {
            None
        }
    })
}

/// Whether a sheet is a walk: positions by degrees and a clock, and no station or survey beside them.
pub(crate) fn looks_like(sheet: &Sheet) -> bool {
    let has = |names: &[&str]| column(sheet, names).is_some();
    has(LATS) && has(LONS) && has(TIMES) && column(sheet, &["station", "chainage"]).is_none()
}

struct LoggerColumns {
    lat: usize,
    lon: usize,
    time: Option<usize>,
    date: Option<usize>,
    height: LoggerColumn,
    vertical: LoggerColumn,
    across: LoggerColumn,
    dilution: Option<usize>,
    name: Option<usize>,
}

/// Reads a sheet as a walk.
pub(crate) fn read(sheet: &Sheet) -> Result<Reading, Fault> {
    let found = |names: &[&str]| column(sheet, names);
    let index = |names: &[&str]| found(names).map(|c| c.0);
    let (Some(lat), Some(lon)) = (index(LATS), index(LONS)) else {
        return Err(sheet
            .heads_fault("a walk needs a latitude and a longitude")
            .expected("time, latitude, longitude, altitude")
            .advice("use these column heads"));
    };
    let columns = LoggerColumns {
        lat,
        lon,
        time: index(TIMES),
        date: index(DATES),
        height: found(HEIGHTS),
        vertical: found(VERTICAL),
        across: found(ACROSS),
        dilution: DILUTIONS.iter().find_map(|names| index(names)),
        name: sheet.column_of(&["name", "annotation"]),
    };
    let mut builder = Builder::new(&sheet.file);
    builder.remarks.extend(sheet.remarks.iter().cloned());
    builder.begin("", false);
    let (mut without, mut no_clock) = (0usize, 0usize);
    for row in &sheet.rows {
        let Some(fix) = columns.fix(sheet, row)? else {
            without += 1;
            continue;
        };
        if fix.time_s.is_none() {
            no_clock += 1;
        }
        let before = builder.last().and_then(|f| f.time_s);
        if before
            .zip(fix.time_s)
            .is_some_and(|(a, b)| !(0.0..=GAP_S).contains(&(b - a)))
        {
            builder.segment();
        }
        let named = columns.name.map_or("", |c| sheet.text(row, c));
        if !named.is_empty() {
            builder.place(NamedPlace {
                name: named.to_owned(),
                lat_deg: fix.lat_deg,
                lon_deg: fix.lon_deg,
                elevation_m: fix.elevation_m,
                place: Place::line(&sheet.file, row.line),
            })?;
        }
        builder.push(fix)?;
    }
    if without > 0 {
        builder.remark(format!("{without} rows without a position are not used"));
    }
    if no_clock > 0 && columns.time.is_some() {
        builder.remark(format!("{no_clock} times cannot be read and are not used"));
    }
    if columns.height.is_some_and(|c| c.1 == 1.0) {
        let head = columns.height.and_then(|c| sheet.heads.get(c.0));
        let head = head.map_or("", |h| h.text.as_str());
        if !head.to_lowercase().contains('(') && !head.to_lowercase().ends_with("_m") {
            builder.remark(format!(
                "the program reads the heights in the column {head} as metres"
            ));
        }
    }
    builder.finish("this table of positions")
}

impl LoggerColumns {
    fn fix(&self, sheet: &Sheet, row: &Row) -> Result<Option<Fix>, Fault> {
        let (lat, lon) = (sheet.number(row, self.lat)?, sheet.number(row, self.lon)?);
        let (lat, lon) = match (lat, lon) {
            (None, None) => return Ok(None),
            (Some(lat), Some(lon)) => (lat, lon),
            (None, Some(_)) | (Some(_), None) => {
                let column = if lat.is_none() { self.lat } else { self.lon };
                return Err(sheet
                    .fault(row, column, "this position is not complete")
                    .expected("both values of the position, or none")
                    .advice("remove the row"));
            }
        };
        let fix = fix_at(lat, lon, row.line).map_err(|_| {
            let column = if lat.abs() > 90.0 { self.lat } else { self.lon };
            sheet
                .fault(row, column, "this is not a place on the earth")
                .expected("latitude from -90 to 90 degrees, longitude from -180 to 180")
                .advice("check if the two columns are exchanged")
        })?;
        let metres = |column: LoggerColumn| -> Result<Option<f64>, Fault> {
            let Some((index, unit)) = column else {
                return Ok(None);
            };
            Ok(sheet.number(row, index)?.map(|v| v * unit))
        };
        let hint = |column: LoggerColumn| {
            let value = metres(column).ok().flatten();
            value.and_then(stated)
        };
        let dilution = self
            .dilution
            .and_then(|c| sheet.number(row, c).ok().flatten());
        Ok(Some(Fix {
            elevation_m: metres(self.height)?,
            time_s: self.seconds(sheet, row),
            dilution: dilution.and_then(stated),
            stated_sd_m: hint(self.vertical).or_else(|| hint(self.across)),
            ..fix
        }))
    }

    /// The clock of a row: a day and a time, a time with its day, or a count since 1970.
    fn seconds(&self, sheet: &Sheet, row: &Row) -> Option<f64> {
        let text = sheet.text(row, self.time?);
        if let Ok(count) = crate::text::number(text) {
            // Milliseconds, where seconds would be tens of thousands of years.
            return Some(if count.abs() > 1e11 {
                count / 1000.0
            } else {
                count
            });
        }
        let day = self.date.map_or("", |c| sheet.text(row, c));
        let whole = if day.is_empty() || text.contains(['-', '/']) {
            text.replace('/', "-")
        } else {
            format!("{} {text}", day.replace('/', "-"))
        };
        clock_s(&whole).or_else(|| clock_s(&format!("1970-01-01 {text}")))
    }
}
