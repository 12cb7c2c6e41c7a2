//! The plan of a study or of a survey.

use super::section_row::places_m;
use super::section_tag::drawn_places;
use super::{drawn, plan_push};
use crate::drawing::{LegendKey, PlanBend, PlanPush, PlanReach, PlanTag, PlanView, Symbol};
use crate::mark::{Mark, Status};
use crate::pipe::MarkKind;
use crate::profile::{ClimbVerdict, Profile};
use crate::report::account::{Report, SurveyReport};
use crate::route::{Bend, Plan, StationedPlace};
use crate::words::{Say, survey_line, verdict_line};

const KIND: &str = "Plan";

/// The plan of a check; `None` where the survey has no positions.
pub fn of_check(account: &Report) -> Option<PlanView> {
    let study = &account.study;
    let line = &study.line;
    let say = account.say();
    let (station_m, east_north_m) =
        positions(&line.geometry.heights.station_m, &line.geometry.plan)?;
    let mut tags: Vec<PlanTag> = Vec::new();
    for set in drawn::sets(&account.marks) {
        if set.first.kind == MarkKind::Joint {
            continue;
        }
        let own = |mark: &Mark, label: String| PlanTag {
            station_m: mark.station_m,
            symbol: Symbol::Mark(mark.kind),
            wanted: mark.standing == Status::Proposed,
            label,
            name: set.label(say),
        };
        match set.last {
            None => tags.push(own(set.first, set.id())),
            Some(last) => {
                tags.push(own(set.first, set.first.id.clone()));
                tags.push(own(last, last.id.clone()));
            }
        }
    }
    tags.extend(line.fittings.iter().map(|f| PlanTag {
        station_m: f.station_m,
        symbol: drawn::fitting_symbol(f.kind),
        wanted: false,
        label: f.name.clone(),
        name: f.name.clone(),
    }));
    let mut notes = drawn::title_block(&line.heading);
    notes.push((
        "survey".to_owned(),
        drawn::surveyed(&study.route, &line.heading.surveyed_on),
    ));
    notes.extend(grid_notes(study.route.station_sd_m, say));
    notes.push(drawn::program());
    Some(view(Parts {
        title: &line.heading.title,
        verdict: verdict_line(&account.findings, say),
        say,
        station_m,
        east_north_m,
        sd_m: study.route.station_sd_m,
        profile: &study.profile,
        bends: &line.geometry.bends,
        places: &study.route.places,
        pushes: study
            .anchor
            .as_ref()
            .map_or_else(Vec::new, |a| plan_push::pushes(a, say)),
        tags,
        notes,
    }))
}

/// The plan of a survey alone.
pub fn of_survey(account: &SurveyReport) -> Option<PlanView> {
    let route = &account.surveyed.route;
    let say = account.say();
    let plans: Vec<Option<Plan>> = route.nodes.iter().map(|n| n.plan).collect();
    let stations: Vec<f64> = route.nodes.iter().map(|n| n.station_m).collect();
    let (station_m, east_north_m) = positions(&stations, &plans)?;
    let mut notes = vec![("survey".to_owned(), drawn::surveyed(route, ""))];
    notes.extend(grid_notes(route.station_sd_m, say));
    notes.push(drawn::program());
    Some(view(Parts {
        title: &account.title,
        verdict: survey_line(&account.surveyed, say),
        say,
        station_m,
        east_north_m,
        sd_m: route.station_sd_m,
        profile: &account.surveyed.profile,
        bends: &route.bends,
        places: &route.places,
        pushes: Vec::new(),
        tags: Vec::new(),
        notes,
    }))
}

fn grid_notes(station_sd_m: f64, say: Say) -> Vec<(String, String)> {
    let mut out = vec![(
        "grid".to_owned(),
        format!(
            "{} east and north of the first point",
            drawn::unit(say.units)
        ),
    )];
    if station_sd_m > 0.0 {
        out.push((
            "uncertainty".to_owned(),
            format!("{} each way, 95 %", say.head(2.0 * station_sd_m)),
        ));
    }
    out
}

struct Parts<'a> {
    title: &'a str,
    verdict: String,
    say: Say<'a>,
    station_m: Vec<f64>,
    east_north_m: Vec<(f64, f64)>,
    sd_m: f64,
    profile: &'a Profile,
    bends: &'a [Bend],
    places: &'a [StationedPlace],
    pushes: Vec<PlanPush>,
    tags: Vec<PlanTag>,
    notes: Vec<(String, String)>,
}

fn view(parts: Parts<'_>) -> PlanView {
    let say = parts.say;
    let reaches: Vec<PlanReach> = parts
        .profile
        .climbs
        .iter()
        .map(|c| PlanReach {
            from_m: if c.verdict == ClimbVerdict::Climbs {
                c.low_station_m
            } else {
                c.reach_from_m
            },
            to_m: if c.verdict == ClimbVerdict::Climbs {
                c.crest_station_m
            } else {
                c.reach_to_m
            },
            certain: c.verdict == ClimbVerdict::Climbs,
        })
        .collect();
    let mut tags = parts.tags;
    tags.extend(drawn_places(parts.places).into_iter().map(|p| PlanTag {
        station_m: p.station_m,
        symbol: Symbol::Place,
        wanted: false,
        label: p.name.clone(),
        name: p.name.clone(),
    }));
    tags.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    let mut legend = vec![(
        if parts.sd_m > 0.0 {
            LegendKey::Doubt
        } else {
            LegendKey::Pipe
        },
        if parts.sd_m > 0.0 {
            "pipe and its uncertainty"
        } else {
            "pipe"
        }
        .to_owned(),
    )];
    if reaches.iter().any(|r| r.certain) {
        legend.push((LegendKey::PlanClimb, "pipe rises".to_owned()));
    }
    if reaches.iter().any(|r| !r.certain) {
        legend.push((
            LegendKey::PlanUnsure,
            "possible rise, not certain".to_owned(),
        ));
    }
    if !parts.bends.is_empty() {
        legend.push((LegendKey::Bend, "bend, with its angle".to_owned()));
    }
    for (carried, words) in [
        (false, "thrust on a thrust block"),
        (true, "thrust on the joints"),
    ] {
        if parts.pushes.iter().any(|p| p.carried == carried) {
            legend.push((LegendKey::Push(carried), words.to_owned()));
        }
    }
    legend.extend(drawn::symbol_keys(
        tags.iter().map(|t| (t.symbol, t.wanted)),
    ));
    PlanView {
        units: say.units,
        pegs_m: places_m(&parts.station_m, say),
        station_m: parts.station_m,
        east_north_m: parts.east_north_m,
        sd_m: parts.sd_m,
        reaches,
        bends: parts
            .bends
            .iter()
            .map(|b| PlanBend {
                station_m: b.station_m,
                label: format!("{:.0}\u{b0}", b.angle_rad.to_degrees()),
            })
            .collect(),
        pushes: parts.pushes,
        tags,
        moved: None,
        legend,
        notes: parts.notes,
        words: drawn::words(parts.title, parts.verdict, KIND, say.units),
    }
}

/// Stations, and east and north at each.
pub(super) type Positions = (Vec<f64>, Vec<(f64, f64)>);

/// Stations and positions of the points that have one; `None` with fewer than two.
pub(super) fn positions(station_m: &[f64], plans: &[Option<Plan>]) -> Option<Positions> {
    let both: Vec<(f64, (f64, f64))> = station_m
        .iter()
        .zip(plans)
        .filter_map(|(s, p)| p.map(|p| (*s, (p.east_m, p.north_m))))
        .collect();
    (both.len() > 1).then(|| both.into_iter().unzip())
}
