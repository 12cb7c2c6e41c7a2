//! What stands on the line and what is wanted, with its label.

use crate::drawing::{Symbol, Tag};
use crate::mark::Status;
use crate::pipe::MarkKind;
use crate::profile::{ClimbVerdict, Profile};
use crate::route::StationedPlace;
use crate::unit::{Figure, Quantity};
use crate::views::drawn;
use crate::words::Say;
use crate::words::account::Report;

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

pub(crate) fn tags(account: &Report, say: Say) -> Vec<Tag> {
    let study = &account.study;
    let line = &study.line;
    let (start, end) = (
        name_near(&study.route.places, 0.0),
        name_near(&study.route.places, line.length_m()),
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
            drawn::symbol(set.first.kind),
            set.label(say),
        )
    }));
    tags.extend(shape_tags(&study.profile, say));
    tags.extend(
        places(&study.route.places, say)
            .into_iter()
            .filter(|p| p.station_m > END_M && p.station_m < line.length_m() - END_M),
    );
    tags.extend(
        line.gauges
            .iter()
            .filter(|g| g.station_m < line.length_m() - 1e-6)
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
            line.length_m(),
            Symbol::Turbine,
            format!(
                "{}, {}",
                end.unwrap_or("turbine"),
                say.station(line.length_m())
            ),
        ));
    }
    tags.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    tags
}

/// Lows and crests.
pub(crate) fn shape_tags(profile: &Profile, say: Say) -> Vec<Tag> {
    let mut out = Vec::new();
    for climb in &profile.climbs {
        let rise = Figure::new(Quantity::Head, climb.rise_m)
            .sd(climb.rise_sd_m)
            .parts(say.units);
        let (crest, low) = match climb.verdict {
            ClimbVerdict::Climbs => (
                format!(
                    "crest, {}, up {} {}",
                    say.station(climb.crest_station_m),
                    rise.value,
                    rise.unit
                ),
                format!("low, {}", say.station(climb.low_station_m)),
            ),
            ClimbVerdict::CannotTell => (
                format!("crest? {}", say.station(climb.crest_station_m)),
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

pub(crate) fn places(places: &[StationedPlace], say: Say) -> Vec<Tag> {
    places
        .iter()
        .filter(|p| !p.name.trim().is_empty())
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
