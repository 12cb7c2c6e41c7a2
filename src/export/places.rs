//! Marks for other programs: marks.gpx (written by the gpx crate), marks.geojson (RFC 7946) and marks.kml (OGC KML 2.2).

use crate::mark::{Mark, Status};
use crate::text::{Fault, Place};
use crate::words::{Say, kind_label, label, why_word};
use gpx::{Gpx, GpxVersion, Waypoint};
use serde_json::{Value, json};

/// A mark's name as a phone shows it: "V2 vent, wanted".
pub fn name(mark: &Mark) -> String {
    let state = match mark.standing {
        Status::Existing => String::new(),
        Status::Proposed => ", required".to_owned(),
    };
    let own = if mark.name.is_empty() {
        String::new()
    } else {
        format!(" ({})", plain(&mark.name))
    };
    format!("{} {}{own}{state}", mark.id, kind_label(mark.kind))
}

/// What is to be done or known at a mark, in one line.
pub fn about(mark: &Mark, say: Say) -> String {
    let mut parts = vec![
        format!("at {}", say.station(mark.station_m)),
        why_word(mark.why).to_owned(),
    ];
    if mark.tolerance_m > 0.0 && mark.standing == Status::Proposed {
        parts.push(format!("within {}", say.head(mark.tolerance_m)));
    }
    if let Some(device) = mark.device {
        parts.push(label(device.word()).to_owned());
    }
    if let Some(bore) = mark.bore_m {
        parts.push(format!("inside diameter {}", say.bore(bore)));
    }
    if let Some(top) = mark.top_m {
        parts.push(format!("top {} above the pipe", say.head(top)));
    }
    if let Some(force) = mark.force_n {
        parts.push(format!("strength {}", say.force(force)));
    }
    if let Some(slack) = mark.slack_m {
        parts.push(format!("expansion allowance {}", say.head(slack)));
    }
    if let Some(turn) = mark.turn {
        parts.push(format!("installation step {turn}"));
    }
    if let Some(volume) = mark.volume_m3 {
        parts.push(format!("concrete {}", say.concrete(volume)));
    }
    parts.join("; ")
}

/// Text from a file as XML 1.0 can carry it: control characters become blanks, the writer escapes the rest.
fn plain(text: &str) -> String {
    crate::text::neutral(text)
        .chars()
        .filter(|c| !matches!(c, '\u{fffe}' | '\u{ffff}'))
        .collect()
}

/// marks.gpx: a waypoint for each mark with a position, and the pipe's centre line as a route of its ends and bends. `None` where nothing has a position.
///
/// # Errors
/// Where the writer refuses a figure.
pub fn gpx(title: &str, marks: &[Mark], say: Say) -> Result<Option<Vec<u8>>, Fault> {
    let waypoints: Vec<Waypoint> = marks
        .iter()
        .filter_map(|mark| {
            let (lat, lon) = mark.lat_lon_deg?;
            let mut waypoint = Waypoint::new(geo_types::Point::new(eight(lon), eight(lat)));
            waypoint.elevation = Some(cm(mark.elevation_m));
            waypoint.name = Some(name(mark));
            waypoint.description = Some(about(mark, say));
            waypoint.type_ = Some(format!("{} {}", mark.kind.word(), mark.standing.word()));
            Some(waypoint)
        })
        .collect();
    if waypoints.is_empty() {
        return Ok(None);
    }
    let file = Gpx {
        version: GpxVersion::Gpx11,
        creator: Some(env!("CARGO_PKG_NAME").to_owned()),
        metadata: Some(gpx::Metadata {
            name: Some(plain(title)),
            ..Default::default()
        }),
        waypoints,
        ..Default::default()
    };
    let mut bytes = Vec::new();
    gpx::write(&file, &mut bytes).map_err(|e| {
        Fault::new(Place::file("marks.gpx"), "the marks could not be written").found(e.to_string())
    })?;
    bytes.push(b'\n');
    Ok(Some(bytes))
}

/// To so many parts of one, and no -0.
fn parts(value: f64, of_one: f64) -> f64 {
    (value * of_one).round() / of_one + 0.0
}

/// Degrees to eight decimals: a millimetre.
fn eight(degrees: f64) -> f64 {
    parts(degrees, 1e8)
}

fn cm(m: f64) -> f64 {
    parts(m, 100.0)
}

/// marks.geojson by RFC 7946: a point for each mark with a position and the pipe's centre as a line. `None` where nothing has a position.
pub fn geojson(title: &str, marks: &[Mark], line: &[(f64, f64, f64)], say: Say) -> Option<Vec<u8>> {
    let mut features: Vec<Value> = Vec::new();
    if line.len() > 1 {
        let positions: Vec<Value> = line
            .iter()
            .map(|(lat, lon, z)| position(*lat, *lon, *z))
            .collect();
        features.push(json!({"type": "Feature", "geometry": {"type": "LineString", "coordinates": positions}, "properties": {"name": title, "kind": "pipe"}}));
    }
    features.extend(marks.iter().filter_map(|mark| {
        let (lat, lon) = mark.lat_lon_deg?;
        let mut properties = json!({"name": name(mark), "about": about(mark, say), "kind": mark.kind.word(), "state": mark.standing.word(), "station_m": cm(mark.station_m)});
        if let (Some(properties), true) = (properties.as_object_mut(), say.has_pegs()) {
            properties.insert("peg_station_m".into(), json!(cm(say.place_m(mark.station_m))));
        }
        Some(json!({
            "type": "Feature",
            "id": mark.id,
            "geometry": {"type": "Point", "coordinates": position(lat, lon, mark.elevation_m)},
            "properties": properties,
        }))
    }));
    if features.is_empty() {
        return None;
    }
    let mut bytes = json!({"type": "FeatureCollection", "features": features})
        .to_string()
        .into_bytes();
    bytes.push(b'\n');
    Some(bytes)
}

fn position(lat: f64, lon: f64, z: f64) -> Value {
    json!([eight(lon), eight(lat), cm(z)])
}

/// marks.kml by OGC KML 2.2: the pipe's centre as a line, a point for each mark with a position. `None` where nothing has a position.
pub fn kml(title: &str, marks: &[Mark], line: &[(f64, f64, f64)], say: Say) -> Option<Vec<u8>> {
    let text = |text: &str| quick_xml::escape::escape(plain(text)).into_owned();
    let place =
        |(lat, lon, z): &(f64, f64, f64)| format!("{},{},{}", eight(*lon), eight(*lat), cm(*z));
    let mut body = String::new();
    if line.len() > 1 {
        let places: Vec<String> = line.iter().map(place).collect();
        body += &format!(
            "<Placemark><name>{}</name><LineString><tessellate>1</tessellate><altitudeMode>absolute</altitudeMode><coordinates>\n{}\n</coordinates></LineString></Placemark>\n",
            text(title),
            places.join("\n")
        );
    }
    for mark in marks {
        let Some((lat, lon)) = mark.lat_lon_deg else {
            continue;
        };
        body += &format!(
            "<Placemark id=\"{}\"><name>{}</name><description>{}</description><Point><altitudeMode>absolute</altitudeMode><coordinates>{}</coordinates></Point></Placemark>\n",
            text(&mark.id),
            text(&name(mark)),
            text(&about(mark, say)),
            place(&(lat, lon, mark.elevation_m))
        );
    }
    if body.is_empty() {
        return None;
    }
    let whole = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<kml xmlns=\"http://www.opengis.net/kml/2.2\"><Document><name>{}</name>\n{body}</Document></kml>\n",
        text(title)
    );
    Some(whole.into_bytes())
}
