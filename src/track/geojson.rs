//! GeoJSON (RFC 7946): lines with or without times, named points.
//!
//! The format itself knows no times; `coordTimes` or `times` among a feature's properties is what writers agree on.

use super::builder::{Builder, fix_at, name_of};
use crate::reading::{Fix, NamedPlace, Reading};
use crate::text::{Fault, Place};
use crate::unit::clock_s;
use serde_json::{Map, Value};

/// Largest file that is read, bytes: what is read is held whole.
const LARGEST_BYTES: usize = 48 << 20;
/// The word of a type that GeoJSON has.
const TYPES: [&str; 9] = [
    "FeatureCollection",
    "Feature",
    "Point",
    "MultiPoint",
    "LineString",
    "MultiLineString",
    "Polygon",
    "MultiPolygon",
    "GeometryCollection",
];

/// Reads the text of a GeoJSON file.
pub(crate) fn read(text: &str, file: &str) -> Result<Reading, Fault> {
    if text.len() > LARGEST_BYTES {
        return Err(
            Fault::new(Place::file(file), "this GeoJSON file is too large")
                .found(format!("{} bytes", text.len()))
                .expected(format!("at most {LARGEST_BYTES} bytes"))
                .advice("copy the walk of this route into a separate file, or give it as GPX"),
        );
    }
    let value: Value = serde_json::from_str(text).map_err(|error| {
        let line = u32::try_from(error.line()).unwrap_or(u32::MAX);
        let column = u32::try_from(error.column()).unwrap_or(u32::MAX).max(1);
        let what = if error.is_eof() {
            "the file is not complete"
        } else {
            "this is not correct JSON"
        };
        Fault::new(Place::line(file, line.max(1)).column(column), what)
            .found(error.to_string())
            .expected("complete GeoJSON, until the last bracket")
            .advice("export the track again")
    })?;
    let mut taker = GeoJsonWalks {
        file,
        builder: Builder::new(file),
        fixes: 0,
        areas: 0,
    };
    let kind = kind(&value);
    if !TYPES.contains(&kind) {
        return Err(Fault::new(
            Place::line(file, 1).column(1),
            "this file is JSON, but not GeoJSON",
        )
        .found(if kind.is_empty() {
            "no \"type\" in the outermost braces".to_owned()
        } else {
            format!("type \"{}\"", name_of(kind))
        })
        .expected("\"type\": \"FeatureCollection\", \"Feature\" or \"LineString\"")
        .advice("export the track as GeoJSON or GPX"));
    }
    taker.take(&value, "$", &Map::new())?;
    let GeoJsonWalks {
        mut builder, areas, ..
    } = taker;
    if areas > 0 {
        builder.remark(format!("{areas} areas (Polygon) are not used"));
    }
    builder.finish("this GeoJSON file")
}

fn kind(value: &Value) -> &str {
    value.get("type").and_then(Value::as_str).unwrap_or("")
}

struct GeoJsonWalks<'a> {
    file: &'a str,
    builder: Builder<'a>,
    /// Fixes so far: the number of one is its `line`.
    fixes: u32,
    areas: usize,
}

impl GeoJsonWalks<'_> {
    fn take(&mut self, value: &Value, at: &str, about: &Map<String, Value>) -> Result<(), Fault> {
        match kind(value) {
            "FeatureCollection" => self.each(value, "features", at, about),
            "GeometryCollection" => self.each(value, "geometries", at, about),
            "Feature" => {
                let empty = Map::new();
                let about = value
                    .get("properties")
                    .and_then(Value::as_object)
                    .unwrap_or(&empty);
                match value.get("geometry") {
                    None | Some(Value::Null) => Ok(()),
                    Some(shape) => self.take(shape, &format!("{at}.geometry"), about),
                }
            }
            "LineString" => {
                let times = times(about);
                self.begin(about, times.is_none());
                self.line(value.get("coordinates"), times, at)
            }
            "MultiLineString" => {
                let times = times(about).and_then(Value::as_array);
                self.begin(about, times.is_none());
                let lines = value.get("coordinates").and_then(Value::as_array);
                for (i, line) in lines.into_iter().flatten().enumerate() {
                    let times = times.and_then(|t| t.get(i));
                    self.line(Some(line), times, &format!("{at}[{i}]"))?;
                }
                Ok(())
            }
            "Point" => {
                let ([lon_deg, lat_deg], elevation_m) =
                    self.position(value.get("coordinates"), at)?;
                self.builder.place(NamedPlace {
                    name: name(about),
                    lat_deg,
                    lon_deg,
                    elevation_m,
                    place: Place::file(self.file).key(at),
                })
            }
            "Polygon" | "MultiPolygon" | "MultiPoint" => {
                self.areas += 1;
                Ok(())
            }
            other => Err(self
                .fault(at, "GeoJSON does not have this type")
                .found(format!("\"{}\"", name_of(other)))
                .expected(TYPES.join(", "))
                .advice("export the track again")),
        }
    }

    fn each(
        &mut self,
        value: &Value,
        key: &str,
        at: &str,
        about: &Map<String, Value>,
    ) -> Result<(), Fault> {
        let list = value.get(key).and_then(Value::as_array);
        for (i, one) in list.into_iter().flatten().enumerate() {
            self.take(one, &format!("{at}.{key}[{i}]"), about)?;
        }
        Ok(())
    }

    fn begin(&mut self, about: &Map<String, Value>, drawn: bool) {
        self.builder.begin(&name(about), drawn);
    }

    fn line(
        &mut self,
        value: Option<&Value>,
        times: Option<&Value>,
        at: &str,
    ) -> Result<(), Fault> {
        let Some(list) = value.and_then(Value::as_array) else {
            return Err(self
                .fault(at, "no coordinates")
                .expected("\"coordinates\": [[lon, lat, height], ...]")
                .advice("export the track again"));
        };
        let times = times.and_then(Value::as_array);
        self.builder.segment();
        for (i, one) in list.iter().enumerate() {
            let ([lon, lat], elevation_m) = self.position(Some(one), &format!("{at}[{i}]"))?;
            self.fixes = self.fixes.saturating_add(1);
            let Ok(fix) = fix_at(lat, lon, self.fixes) else {
                continue;
            };
            self.builder.push(Fix {
                elevation_m,
                time_s: times.and_then(|t| t.get(i)).and_then(seconds),
                ..fix
            })?;
        }
        Ok(())
    }

    /// Longitude, latitude and, where it is there, height.
    fn position(&self, value: Option<&Value>, at: &str) -> Result<([f64; 2], Option<f64>), Fault> {
        let list = value.and_then(Value::as_array);
        let figure = |i: usize| list.and_then(|l| l.get(i)).and_then(Value::as_f64);
        if let (Some(lon), Some(lat)) = (figure(0), figure(1))
            && fix_at(lat, lon, 1).is_ok()
        {
            return Ok(([lon, lat], figure(2)));
        }
        let found = value.map_or_else(|| "nothing".to_owned(), ToString::to_string);
        Err(self
            .fault(at, "this coordinate is not a place on the earth")
            .found(found.chars().take(60).collect::<String>())
            .expected("[longitude, latitude, height] in degrees and metres, in this order")
            .advice("export the track again. Check if the two values are exchanged, or if they are metres of a grid"))
    }

    fn fault(&self, at: &str, what: &str) -> Fault {
        Fault::new(Place::file(self.file).key(at), format!("{what}, at {at}"))
    }
}

/// The times of a line's points.
fn times(about: &Map<String, Value>) -> Option<&Value> {
    let inner = about.get("coordinateProperties").and_then(Value::as_object);
    [Some(about), inner]
        .into_iter()
        .flatten()
        .flat_map(|m| ["coordTimes", "times"].iter().map(move |k| m.get(*k)))
        .flatten()
        .find(|v| v.is_array())
}

/// A time as text, or as milliseconds since 1970.
fn seconds(value: &Value) -> Option<f64> {
    match value {
        Value::String(text) => clock_s(text),
        Value::Number(ms) => ms.as_f64().map(|ms| ms / 1000.0),
        _ => None,
    }
}

fn name(about: &Map<String, Value>) -> String {
    let text = ["name", "title", "Name"]
        .iter()
        .find_map(|k| about.get(*k).and_then(Value::as_str));
    name_of(text.unwrap_or(""))
}
