//! Names and positions that the user gave, looked up.

use super::options::{RouteOptions, Spot, WrittenSpot};
use crate::earth::LatLon;
use crate::reading::{NamedPlace, Reading};
use crate::text::{Fault, Place, Sentence, nearest};

/// Places of one name farther apart than this are two places, m.
pub(super) const SAME_M: f64 = 20.0;

/// A named place or a position farther off the line than this is not on it, m: twice what a hand receiver is off at its worst.
pub(super) const ON_LINE_M: f64 = 60.0;

/// Refuses a place so far off the surveyed line.
pub(super) fn refuse_off(at: &WrittenSpot, off_m: f64) -> Result<(), Fault> {
    if off_m <= ON_LINE_M {
        return Ok(());
    }
    Err(
        Fault::new(at.place.clone(), "this place is not on the route")
            .found(
                Sentence::default()
                    .length(off_m, 0)
                    .words(" from the surveyed route"),
            )
            .expected(
                Sentence::from("a place within ")
                    .length(ON_LINE_M, 0)
                    .words(" of the route"),
            )
            .advice("check the latitude and longitude, or extend the survey to this place"),
    )
}

/// The fault of a station, in the survey's own reckoning, beyond the surveyed line's lowest and highest.
pub(super) fn beyond(at: &WrittenSpot, own_m: f64, (low_m, high_m): (f64, f64)) -> Fault {
    Fault::new(at.place.clone(), "this station is not on the route")
        .found(Sentence::default().short(own_m))
        .expected(
            Sentence::default()
                .length(low_m, 1)
                .words(" to ")
                .length(high_m, 1),
        )
        .advice("give a station on the surveyed route, or extend the survey to this station")
}

/// The fault of an intake and a turbine that leave less than `least_m` between them; `whole` is where it is told when neither was said.
pub(super) fn no_pipe_between(
    options: &RouteOptions,
    whole: Place,
    (length_m, least_m): (f64, f64),
) -> Fault {
    let said = options.turbine.as_ref().or(options.intake.as_ref());
    let place = said.map_or(whole, |a| a.place.clone());
    Fault::new(place, "there is no pipe between the intake and the turbine")
        .found(
            Sentence::default()
                .length(length_m, 1)
                .words(" from intake to turbine"),
        )
        .expected(
            Sentence::from(
                "an intake above the turbine on the surveyed route, with a distance of at least ",
            )
            .length(least_m, 1),
        )
        .advice("check the places of the intake and the turbine, and check `from`")
}

/// The position behind a name or a pair of degrees; `None` for a station.
pub(super) fn position(at: &WrittenSpot, readings: &[Reading]) -> Result<Option<LatLon>, Fault> {
    match &at.spot {
        Spot::Station(_) => Ok(None),
        Spot::Position { lat_deg, lon_deg } => Ok(Some(LatLon::new(*lat_deg, *lon_deg))),
        Spot::Name(name) => named(name, at, readings).map(Some),
    }
}

fn named(name: &str, at: &WrittenSpot, readings: &[Reading]) -> Result<LatLon, Fault> {
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
                "the survey has no named places; give a station or \"lat, lon\"".to_owned()
            }
            None => "give a name from the survey, a station, or \"lat, lon\"".to_owned(),
        };
        return Err(
            Fault::new(at.place.clone(), "the survey has no place with this name")
                .found(name.to_owned())
                .expected("the name of a waypoint or of a point in the survey files")
                .advice(advice),
        );
    };
    let here = LatLon::new(first.lat_deg, first.lon_deg);
    let other = found
        .iter()
        .find(|p| here.distance_m(LatLon::new(p.lat_deg, p.lon_deg)) > SAME_M);
    match other {
        None => Ok(here),
        Some(other) => Err(Fault::new(at.place.clone(), "two places have this name")
            .found(format!("{name} at {} and at {}", first.place, other.place))
            .expected("a name that only one place has")
            .advice("give the position as \"lat, lon\", or change the name of one place")),
    }
}
