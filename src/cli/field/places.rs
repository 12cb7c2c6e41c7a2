//! The way back to a mark: how far, in which direction, and how well this receiver can tell.

use crate::earth::LatLon;
use crate::reading::ReadOptions;
use crate::survey;
use crate::text::{Fault, Place, neutral};
use crate::unit::Units;
use crate::unit::exact::FOOT_M;
use serde_json::{Value, json};
use std::path::PathBuf;

/// Names of eight directions, clockwise from north.
const DIRECTIONS: [&str; 8] = [
    "north",
    "north-east",
    "east",
    "south-east",
    "south",
    "south-west",
    "west",
    "north-west",
];

/// Every named place of the files, the nearest first.
pub fn of(
    files: &[PathBuf],
    at: &str,
    within_m: Option<f64>,
    units: Units,
) -> Result<Value, Fault> {
    let here = position(at)?;
    let within_m = within_m.filter(|m| m.is_finite() && *m > 0.0);
    let mut all = Vec::new();
    for file in files {
        let reading = survey::read(file, None, &ReadOptions::default())?;
        for place in reading.places {
            let there = LatLon::new(place.lat_deg, place.lon_deg);
            let known = all.iter().any(|(name, other, _): &(String, LatLon, f64)| {
                *name == place.name && other.distance_m(there) < 1.0
            });
            if !known {
                all.push((place.name, there, here.distance_m(there)));
            }
        }
    }
    all.sort_by(|a, b| a.2.total_cmp(&b.2));
    let places: Vec<Value> = all
        .iter()
        .map(|(name, there, distance_m)| {
            let bearing = here.azimuth_rad(*there).to_degrees().rem_euclid(360.0);
            let arrived = within_m.is_some_and(|w| *distance_m <= w);
            let far = length(*distance_m, units);
            let text = if arrived {
                "you are here, within the accuracy of this receiver".to_owned()
            } else {
                format!("{far} to the {}", direction(bearing))
            };
            json!({
                "name": neutral(name), "lat": there.lat_deg, "lon": there.lon_deg,
                "distance_m": distance_m, "bearing_deg": bearing, "here": arrived, "text": text,
            })
        })
        .collect();
    let doubt = match within_m {
        Some(m) => format!(
            "The receiver gives its own position within {}. The place was measured with an uncertainty of its own.",
            length(m, units)
        ),
        None => "The receiver does not say how accurate its position is.".to_owned(),
    };
    Ok(json!({"doubt": doubt, "places": places}))
}

/// A length to the whole unit: nobody paces off less.
fn length(m: f64, units: Units) -> String {
    let (size, unit) = match units {
        Units::Metric => (1.0, "m"),
        Units::Us => (FOOT_M, "ft"),
    };
    format!("{:.0} {unit}", (m / size).round() + 0.0)
}

fn direction(bearing_deg: f64) -> &'static str {
    let eighth = ((bearing_deg / 45.0).round() as i64).rem_euclid(8);
    usize::try_from(eighth)
        .ok()
        .and_then(|i| DIRECTIONS.get(i))
        .unwrap_or(&"north")
}

fn position(text: &str) -> Result<LatLon, Fault> {
    let read = |t: Option<&str>| t.and_then(|t| t.trim().parse::<f64>().ok());
    let mut parts = text.split(',');
    match (read(parts.next()), read(parts.next()), parts.next()) {
        (Some(lat), Some(lon), None) if lat.abs() <= 90.0 && lon.abs() <= 180.0 => {
            Ok(LatLon::new(lat, lon))
        }
        _ => Err(
            Fault::new(Place::default().key("--at"), "this is no position")
                .found(text.to_owned())
                .expected("latitude,longitude in degrees: 46.1,-30.5")
                .advice("wait for a fix of the receiver"),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn eight_directions_go_round() {
        for (deg, word) in [
            (0.0, "north"),
            (44.0, "north-east"),
            (180.0, "south"),
            (338.0, "north"),
            (271.0, "west"),
        ] {
            assert_eq!(direction(deg), word);
        }
    }
}
