//! KML: tracks that were recorded (`gx:Track`), lines that were drawn (`LineString`), named points.

use super::builder::{Builder, fix_at, name_of, stated};
use super::xml::{Elements, XmlSpot, XmlText, walk};
use crate::reading::{Fix, NamedPlace, Reading};
use crate::text::Fault;
use crate::unit::clock_s;
use quick_xml::events::BytesStart;

/// Reads the text of a KML file.
pub(crate) fn read(text: &str, file: &str) -> Result<Reading, Fault> {
    let source = XmlText {
        file,
        text,
        root: "kml",
    };
    let mut taker = KmlWalks {
        source,
        builder: Builder::new(file),
        name: String::new(),
        shape: KmlGeometry::default(),
        array: None,
        recorded: false,
        areas: 0,
        above_ground: 0,
        linked: 0,
    };
    walk(source, &mut taker)?;
    let KmlWalks {
        mut builder,
        areas,
        above_ground,
        linked,
        ..
    } = taker;
    if areas > 0 {
        builder.remark(format!("{areas} areas (Polygon, LinearRing) are not used"));
    }
    if above_ground > 0 {
        builder.remark("heights above the ground (relativeToGround) are not used, because they do not show the slope of the ground");
    }
    if linked > 0 {
        builder.remark(
            "the file has links to other files (NetworkLink). The program does not read them",
        );
    }
    builder.finish("this KML file")
}

/// Longitude, latitude, height; the byte and line they stand at.
type Coordinate = ([f64; 2], Option<f64>, XmlSpot);

/// The geometry that is open.
#[derive(Default)]
struct KmlGeometry {
    coordinates: Vec<Option<Coordinate>>,
    times: Vec<Option<f64>>,
    accuracies: Vec<f64>,
    vertical: Vec<f64>,
    relative: bool,
}

struct KmlWalks<'a> {
    source: XmlText<'a>,
    builder: Builder<'a>,
    name: String,
    shape: KmlGeometry,
    /// Which array of doubts is open: `true` for heights.
    array: Option<bool>,
    /// This placemark's recorded track has begun.
    recorded: bool,
    areas: usize,
    above_ground: usize,
    linked: usize,
}

impl Elements for KmlWalks<'_> {
    fn open(&mut self, path: &[&str], tag: &BytesStart<'_>, _: XmlSpot) -> Result<(), Fault> {
        match path {
            [.., "Placemark"] => {
                self.name.clear();
                self.recorded = false;
            }
            [.., "LineString" | "Point" | "Track"] => self.shape = KmlGeometry::default(),
            [.., "Polygon" | "LinearRing"] => {
                self.shape = KmlGeometry::default();
                self.areas += 1;
            }
            [.., "NetworkLink"] => self.linked += 1,
            [.., "SimpleArrayData"] => {
                let name = tag
                    .attributes()
                    .with_checks(false)
                    .flatten()
                    .find(|a| a.key.0 == "name")
                    .map(|a| a.value.to_ascii_lowercase())
                    .unwrap_or_default();
                self.array = name.contains("accuracy").then(|| name.contains("vert"));
            }
            _ => {}
        }
        Ok(())
    }

    fn close(&mut self, path: &[&str], text: &str, spot: XmlSpot) -> Result<(), Fault> {
        match path {
            [.., "Placemark", "name"] => self.name = name_of(text),
            [.., "altitudeMode"] => self.shape.relative = text.starts_with("relative"),
            [.., "Track", "when"] => self.shape.times.push(clock_s(text)),
            [.., "Track", "coord"] => {
                let found = self.coordinate(text.split_whitespace(), spot)?;
                self.shape.coordinates.push(found);
            }
            [.., "SimpleArrayData", "value"] => {
                let value = text.parse().unwrap_or(f64::NAN);
                match self.array {
                    Some(true) => self.shape.vertical.push(value),
                    Some(false) => self.shape.accuracies.push(value),
                    None => {}
                }
            }
            [.., "SimpleArrayData"] => self.array = None,
            [.., "LineString" | "Point", "coordinates"] => {
                for (at, piece) in pieces(text) {
                    let spot = XmlSpot {
                        at: spot.at + at,
                        line: spot.line + ends(text, at),
                    };
                    let found = self.coordinate(piece.split(','), spot)?;
                    self.shape.coordinates.push(found);
                }
            }
            [.., "Track"] => return self.track(spot),
            [.., "LineString"] => return self.line(),
            [.., "Point"] => return self.point(),
            _ => {}
        }
        Ok(())
    }
}

/// Pieces between blanks, each with its byte.
fn pieces(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.split_whitespace()
        .map(move |p| (p.as_ptr() as usize - text.as_ptr() as usize, p))
}

fn ends(text: &str, at: usize) -> u32 {
    let before = text.as_bytes().get(..at).unwrap_or_default();
    u32::try_from(before.iter().filter(|b| **b == b'\n').count()).unwrap_or(u32::MAX)
}

impl KmlWalks<'_> {
    /// Longitude, latitude and, where it is there, height; `None` where nothing stands.
    fn coordinate<'t>(
        &self,
        parts: impl Iterator<Item = &'t str>,
        spot: XmlSpot,
    ) -> Result<Option<Coordinate>, Fault> {
        let mut figures = [None; 3];
        let names = ["the longitude", "the latitude", "the height"];
        for ((slot, what), text) in figures.iter_mut().zip(names).zip(parts) {
            if !text.is_empty() {
                *slot = Some(self.source.number(text, spot.at, what)?);
            }
        }
        let off = |found: String| {
            self.source
                .fault(spot.at, "this coordinate is not a place on the earth")
                .found(found)
                .expected("longitude, latitude and height, in this order, in degrees and metres")
                .advice("export the track again. Check if the two values are exchanged")
        };
        match figures {
            [None, None, None] => Ok(None),
            [Some(lon), Some(lat), height] => match fix_at(lat, lon, spot.line) {
                Ok(_) => Ok(Some(([lon, lat], height, spot))),
                Err(_) => Err(off(format!("{lon},{lat}"))),
            },
            _ => Err(off("one value of a position".to_owned())),
        }
    }

    /// The fixes of the geometry that ends: heights are left out where they are counted from the ground, or nowhere written but as 0.
    fn fixes(&mut self) -> Vec<Fix> {
        let shape = std::mem::take(&mut self.shape);
        let heights = shape.coordinates.iter().flatten().filter_map(|c| c.1);
        let any = heights.clone().any(|h| h != 0.0);
        if shape.relative && any {
            self.above_ground += 1;
        }
        let keep = any && !shape.relative;
        let doubts = if shape.vertical.len() == shape.coordinates.len() {
            &shape.vertical
        } else {
            &shape.accuracies
        };
        let matching = doubts.len() == shape.coordinates.len();
        let mut out = Vec::with_capacity(shape.coordinates.len());
        for (i, coordinate) in shape.coordinates.iter().enumerate() {
            let Some(([lon, lat], height, spot)) = *coordinate else {
                continue;
            };
            if let Ok(fix) = fix_at(lat, lon, spot.line) {
                out.push(Fix {
                    elevation_m: height.filter(|_| keep),
                    time_s: shape.times.get(i).copied().flatten(),
                    stated_sd_m: doubts
                        .get(i)
                        .filter(|_| matching)
                        .and_then(|&sd| stated(sd)),
                    ..fix
                });
            }
        }
        out
    }

    fn track(&mut self, spot: XmlSpot) -> Result<(), Fault> {
        let (times, places) = (self.shape.times.len(), self.shape.coordinates.len());
        if times != places {
            return Err(self
                .source
                .fault(
                    spot.at,
                    "this track does not have the same number of times and positions",
                )
                .found(format!("{times} of <when>, {places} of <coord>"))
                .expected("one <when> for each <gx:coord>")
                .advice("export the track again"));
        }
        if !std::mem::replace(&mut self.recorded, true) {
            self.builder.begin(&self.name, false);
        }
        self.builder.segment();
        for fix in self.fixes() {
            self.builder.push(fix)?;
        }
        Ok(())
    }

    fn line(&mut self) -> Result<(), Fault> {
        // A line has no clock: it was drawn, or its clock is lost.
        self.builder.begin(&self.name, true);
        for fix in self.fixes() {
            self.builder.push(fix)?;
        }
        self.recorded = false;
        Ok(())
    }

    fn point(&mut self) -> Result<(), Fault> {
        let Some(([lon_deg, lat_deg], height, spot)) =
            self.shape.coordinates.first().copied().flatten()
        else {
            return Ok(());
        };
        let height = height.filter(|h| *h != 0.0 && !self.shape.relative);
        self.builder.place(NamedPlace {
            name: self.name.clone(),
            lat_deg,
            lon_deg,
            elevation_m: height,
            place: self.source.place(spot),
        })
    }
}
