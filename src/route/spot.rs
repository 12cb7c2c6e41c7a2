//! Names and positions that the user gave, looked up.

use super::earth::LatLon;
use super::options::{At, Spot};
use crate::survey::{NamedPlace, Reading};
use crate::text::{Fault, nearest};

/// Places of one name farther apart than this are two places, m.
const SAME_M: f64 = 20.0;

/// The position behind a name or a pair of degrees; `None` for a station.
pub(super) fn position(at: &At, readings: &[Reading]) -> Result<Option<LatLon>, Fault> {
    match &at.spot {
        Spot::Station(_) => Ok(None),
        Spot::Position { lat_deg, lon_deg } => Ok(Some(LatLon::new(*lat_deg, *lon_deg))),
        Spot::Name(name) => named(name, at, readings).map(Some),
    }
}

fn named(name: &str, at: &At, readings: &[Reading]) -> Result<LatLon, Fault> {
    let wanted = name.trim().to_lowercase();
    let all = || readings.iter().flat_map(|r| &r.places);
    let found: Vec<&NamedPlace> = all()
        .filter(|p| p.name.trim().to_lowercase() == wanted)
        .collect();
    let Some(first) = found.first() else {
        let known = all().map(|p| p.name.as_str());
        let advice = match nearest(name, known.clone()) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None if known.count() == 0 => {
                "the survey names no places: give a station or \"lat, lon\"".to_owned()
            }
            None => {
                "give the name as it stands in the survey, a station, or \"lat, lon\"".to_owned()
            }
        };
        return Err(
            Fault::new(at.place.clone(), "no place of that name in the survey")
                .found(name.to_owned())
                .expected("the name of a waypoint or of a point in the survey's files")
                .advice(advice),
        );
    };
    let here = LatLon::new(first.lat_deg, first.lon_deg);
    let other = found
        .iter()
        .find(|p| here.distance_m(LatLon::new(p.lat_deg, p.lon_deg)) > SAME_M);
    match other {
        None => Ok(here),
        Some(other) => Err(Fault::new(at.place.clone(), "two places have that name")
            .found(format!("{name} at {} and at {}", first.place, other.place))
            .expected("a name that stands once")
            .advice("give its position as \"lat, lon\", or rename one of them")),
    }
}
