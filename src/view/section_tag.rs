//! What stands on the line and what is wanted, with its label.

use super::drawn;
use crate::drawing::{Symbol, Tag};
use crate::mark::Status;
use crate::pipe::MarkKind;
use crate::profile::{ClimbVerdict, Profile};
use crate::report::account::Report;
use crate::route::StationedPlace;
use crate::unit::{Figure, Quantity};
use crate::words::Say;

/// A named place so near an end of the line names that end, m.
const END_M: f64 = 2.0;

fn name_near(places: &[StationedPlace], station_m: f64) -> Option<&str> {
    places
        .iter()
        .find(|p| (p.station_m - station_m).abs() <= END_M && !p.name.trim().is_empty())
        .map(|p| p.name.as_str())
}

fn tag(station_m: f64, symbol: Symbol, label: String) -> Tag {
    Tag {
        station_m,
        to_m: None,
        symbol,
        wanted: false,
        label,
        id: String::new(),
        matters: true,
    }
}

pub(super) fn tags(account: &Report, say: Say) -> Vec<Tag> {
    let study = &account.study;
    let line = &study.line;
    let (start, end) = (
        name_near(&study.route.places, 0.0),
        name_near(&study.route.places, line.geometry.length_m()),
    );
    let mut tags = vec![tag(
        0.0,
        Symbol::Intake,
        start.unwrap_or("intake").to_owned(),
    )];
    tags.extend(line.fittings.iter().map(|f| {
        tag(
            f.station_m,
            drawn::fitting_symbol(f.kind),
            format!("{}, {}", f.name, say.station(f.station_m)),
        )
    }));
    tags.extend(drawn::sets(&account.marks).iter().map(|set| Tag {
        to_m: set.last.map(|m| m.station_m),
        wanted: set.first.standing == Status::Proposed,
        id: set.id(),
        matters: set.first.kind != MarkKind::Joint,
        ..tag(
            set.first.station_m,
            Symbol::Mark(set.first.kind),
            set.label(say),
        )
    }));
    tags.extend(shape_tags(&study.profile, say));
    tags.extend(
        places(&study.route.places, say)
            .into_iter()
            .filter(|p| p.station_m > END_M && p.station_m < line.geometry.length_m() - END_M),
    );
    tags.extend(
        line.measured
            .gauges
            .iter()
            .filter(|g| g.station_m < line.geometry.length_m() - 1e-6)
            .map(|g| {
                tag(
                    g.station_m,
                    Symbol::Gauge,
                    format!("gauge, {}", say.station(g.station_m)),
                )
            }),
    );
    if line.outlet.is_some() {
        tags.push(tag(
            line.geometry.length_m(),
            Symbol::Turbine,
            format!(
                "{}, {}",
                end.unwrap_or("turbine"),
                say.station(line.geometry.length_m())
            ),
        ));
    }
    tags.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    tags
}

/// Lows and crests.
pub(super) fn shape_tags(profile: &Profile, say: Say) -> Vec<Tag> {
    let mut out = Vec::new();
    for climb in &profile.climbs {
        let rise = Figure::new(Quantity::Head, climb.rise_m)
            .sd(climb.rise_sd_m)
            .parts(say.units);
        let (crest, low) = match climb.verdict {
            ClimbVerdict::Climbs => (
                format!(
                    "high point, {}, up {} {}",
                    say.station(climb.crest_station_m),
                    rise.value,
                    rise.unit
                ),
                format!("low point, {}", say.station(climb.low_station_m)),
            ),
            ClimbVerdict::CannotTell => (
                format!("high point? {}", say.station(climb.crest_station_m)),
                String::new(),
            ),
        };
        out.push(tag(climb.crest_station_m, Symbol::Crest, crest));
        if !low.is_empty() {
            out.push(tag(climb.low_station_m, Symbol::Low, low));
        }
    }
    out
}

/// A turning point of a book: nothing is built there, so no drawing names it.
fn is_turning_point(name: &str) -> bool {
    let letters: String = name
        .chars()
        .filter(|c| c.is_alphabetic())
        .flat_map(char::to_lowercase)
        .collect();
    matches!(
        letters.as_str(),
        "tp" | "cp" | "tpt" | "turningpoint" | "changepoint" | "turn"
    )
}

/// Most places that a sheet of paper names: those nearest to the line.
const MOST_PLACES: usize = 100;

/// The named places that are drawn, in their order along the line.
pub(super) fn drawn_places(places: &[StationedPlace]) -> Vec<&StationedPlace> {
    let mut named: Vec<&StationedPlace> = places
        .iter()
        .filter(|p| !p.name.trim().is_empty() && !is_turning_point(&p.name))
        .collect();
    if named.len() > MOST_PLACES {
        named.sort_by(|a, b| a.off_m.total_cmp(&b.off_m));
        named.truncate(MOST_PLACES);
        named.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    }
    named
}

pub(super) fn places(places: &[StationedPlace], say: Say) -> Vec<Tag> {
    drawn_places(places)
        .into_iter()
        .map(|p| Tag {
            matters: false,
            id: p.name.clone(),
            ..tag(
                p.station_m,
                Symbol::Place,
                format!("{}, {}", p.name, say.station(p.station_m)),
            )
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sheet_names_no_more_places_than_it_can() {
        let place = |i: u32| StationedPlace {
            name: format!("w{i}"),
            station_m: f64::from(i),
            off_m: f64::from(20_000 - i),
        };
        let all: Vec<StationedPlace> = (0..20_000).map(place).collect();
        let drawn = drawn_places(&all);
        assert_eq!(drawn.len(), MOST_PLACES);
        assert_eq!(drawn[0].name, "w19900");
        assert_eq!(drawn_places(&all[..7]).len(), 7);
    }

    #[test]
    fn a_turning_point_is_no_place() {
        assert!(
            ["TP3", "T.P. 12", "CP 1", "turning point 4"]
                .iter()
                .all(|n| is_turning_point(n))
        );
        assert!(
            !["Tap 3", "old stile", "12", ""]
                .iter()
                .any(|n| is_turning_point(n))
        );
    }
}
