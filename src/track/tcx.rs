//! TCX: activities of a watch, in laps.

use super::builder::{Builder, fix_at};
use super::xml::{Elements, XmlSpot, XmlText, walk};
use crate::reading::{Fix, Reading};
use crate::text::Fault;
use crate::unit::clock_s;
use quick_xml::events::BytesStart;

/// Laps that follow each other within this are one stretch, s: nobody stopped.
const LAPS_JOIN_S: f64 = 10.0;

/// Reads the text of a TCX file.
pub(crate) fn read(text: &str, file: &str) -> Result<Reading, Fault> {
    let source = XmlText {
        file,
        text,
        root: "TrainingCenterDatabase",
    };
    let mut taker = TcxWalks {
        source,
        builder: Builder::new(file),
        begins: false,
        lat: None,
        lon: None,
        height: None,
        time: None,
        without: 0,
    };
    walk(source, &mut taker)?;
    let TcxWalks {
        mut builder,
        without,
        ..
    } = taker;
    if without > 0 {
        builder.remark(format!(
            "{without} track points without a position are not used"
        ));
    }
    builder.finish("this TCX file")
}

struct TcxWalks<'a> {
    source: XmlText<'a>,
    builder: Builder<'a>,
    /// A <Track> was opened and has no fix yet.
    begins: bool,
    lat: Option<(f64, usize)>,
    lon: Option<(f64, usize)>,
    height: Option<f64>,
    time: Option<f64>,
    without: usize,
}

impl Elements for TcxWalks<'_> {
    fn open(&mut self, path: &[&str], _: &BytesStart<'_>, _: XmlSpot) -> Result<(), Fault> {
        match path {
            [.., "Activity"] => self.builder.begin("", false),
            [.., "Course"] => self.builder.begin("", true),
            [.., "Track"] => self.begins = true,
            [.., "Trackpoint"] => {
                (self.lat, self.lon) = (None, None);
                (self.height, self.time) = (None, None);
            }
            _ => {}
        }
        Ok(())
    }

    fn close(&mut self, path: &[&str], text: &str, spot: XmlSpot) -> Result<(), Fault> {
        let number = |what| self.source.number(text, spot.at, what);
        match path {
            [.., "Position", "LatitudeDegrees"] => {
                self.lat = Some((number("the latitude")?, spot.at))
            }
            [.., "Position", "LongitudeDegrees"] => {
                self.lon = Some((number("the longitude")?, spot.at));
            }
            [.., "Trackpoint", "AltitudeMeters"] if !text.is_empty() => {
                self.height = Some(number("the height")?);
            }
            [.., "Trackpoint", "Time"] => self.time = clock_s(text),
            [.., "Trackpoint"] => return self.point(spot),
            _ => {}
        }
        Ok(())
    }
}

impl TcxWalks<'_> {
    fn point(&mut self, spot: XmlSpot) -> Result<(), Fault> {
        let (Some((lat, at)), Some((lon, _))) = (self.lat, self.lon) else {
            self.without += 1;
            return Ok(());
        };
        let fix = fix_at(lat, lon, spot.line).map_err(|_| {
            self.source
                .fault(at, "this is not a place on the earth")
                .found(format!("{lat}, {lon}"))
                .expected("degrees, latitude from -90 to 90, longitude from -180 to 180")
                .advice("export the activity again")
        })?;
        let fix = Fix {
            elevation_m: self.height,
            time_s: self.time,
            ..fix
        };
        if std::mem::take(&mut self.begins) && !self.carries_on(&fix) {
            self.builder.segment();
        }
        self.builder.push(fix)
    }

    fn carries_on(&self, fix: &Fix) -> bool {
        let before = self.builder.last().and_then(|f| f.time_s);
        before
            .zip(fix.time_s)
            .is_some_and(|(a, b)| (0.0..=LAPS_JOIN_S).contains(&(b - a)))
    }
}
