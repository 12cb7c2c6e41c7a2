//! The longitudinal section of a study or of a survey: which lines, labels and figures are drawn, and their words.

use super::account::{Account, SurveyAccount};
use super::drawn;
use super::words::{Say, verdict_line};
use crate::drawing::{Hump, Key, Row, Section, Series, Symbol, Tag, Trace, Write, Zone};
use crate::flow::Run;
use crate::line::Line;
use crate::mark::Standing;
use crate::pipe::MarkKind;
use crate::profile::{Climb, Profile, Verdict};
use crate::route::StationedPlace;
use crate::strength::Strength;
use crate::study::Study;
use crate::unit::{Figure, Quantity, Units};

const KIND: &str = "Longitudinal section";

/// The section of a check.
pub fn of_check(account: &Account) -> Section {
    let study = &account.study;
    let line = &study.line;
    let units = account.units;
    let say = Say(units);
    let heights = &line.heights;
    let sd_m = drawn::against_intake_sd_m(heights);
    let humps: Vec<Hump> = study.profile.climbs.iter().map(hump).collect();
    let series = series(study);
    let tags = tags(account, say);
    let mut legend = shape_keys(&sd_m, line.ground_m.iter().any(Option::is_some), &humps);
    legend.extend(series.iter().map(|s| (Key::Trace(s.trace), s.name.clone())));
    legend.dedup_by(|a, b| a.0 == b.0);
    legend.extend(drawn::symbol_keys(
        tags.iter().map(|t| (t.symbol, t.wanted)),
    ));
    Section {
        units,
        rows: rows(study, units, drawn::height_decimals(&sd_m, units)),
        station_m: heights.station_m.clone(),
        elevation_m: heights.mean_m.clone(),
        sd_m,
        ground_m: line.ground_m.clone(),
        series,
        zones: zones(line, say),
        humps,
        columns_m: columns(&study.profile, line.reaches.iter().map(|r| r.to_m), &tags),
        tags,
        legend,
        notes: notes(account),
        words: drawn::words(
            &line.title,
            verdict_line(&account.findings, say),
            KIND,
            units,
        ),
    }
}

/// The section of a survey alone: the pipe's line and what it does.
pub fn of_survey(account: &SurveyAccount) -> Section {
    let surveyed = &account.surveyed;
    let (route, profile, units) = (&surveyed.route, &surveyed.profile, account.units);
    let say = Say(units);
    let heights = &route.heights;
    let sd_m = drawn::against_intake_sd_m(heights);
    let humps: Vec<Hump> = profile.climbs.iter().map(hump).collect();
    let mut tags = shape_tags(profile, say);
    tags.extend(places(&route.places, say));
    tags.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    let mut legend = shape_keys(&sd_m, false, &humps);
    legend.extend(drawn::symbol_keys(
        tags.iter().map(|t| (t.symbol, t.wanted)),
    ));
    let drop = heights
        .mean_m
        .first()
        .zip(heights.mean_m.last())
        .map_or(0.0, |(a, b)| a - b);
    Section {
        units,
        rows: shape_rows(
            &heights.station_m,
            &heights.mean_m,
            units,
            drawn::height_decimals(&sd_m, units),
        ),
        station_m: heights.station_m.clone(),
        elevation_m: heights.mean_m.clone(),
        sd_m,
        ground_m: vec![None; heights.station_m.len()],
        series: Vec::new(),
        zones: Vec::new(),
        humps,
        columns_m: columns(profile, std::iter::empty(), &tags),
        tags,
        legend,
        notes: vec![
            ("survey".to_owned(), drawn::surveyed(route)),
            ("heights".to_owned(), drawn::datum(route, drop, units)),
            (
                "judged by".to_owned(),
                format!("a bore of {}", say.bore(surveyed.bore_m)),
            ),
            drawn::program(),
        ],
        words: drawn::words(
            &account.title,
            verdict_line(&account.findings, say),
            KIND,
            units,
        ),
    }
}

fn hump(climb: &Climb) -> Hump {
    Hump {
        reach_m: (climb.reach_from_m, climb.reach_to_m),
        low_m: climb.low_station_m,
        end_m: climb.end_station_m,
        certain: climb.verdict == Verdict::Climbs,
    }
}

/// Water levels, surges, what the pipe may take, and where it would lie put right.
fn series(study: &Study) -> Vec<Series> {
    let line = &study.line;
    let stations = &line.heights.station_m;
    let mut out = Vec::new();
    if let Some(strength) = &study.strength {
        out.extend(rating(study, strength));
    }
    if let Some(shut) = study.cases.named("shut") {
        out.push(Series {
            trace: Trace::Still,
            name: "standing water".to_owned(),
            chains_m: vec![
                shut.points
                    .iter()
                    .map(|p| (p.station_m, p.grade_line_m))
                    .collect(),
            ],
        });
    }
    if let Some(surges) = &study.surges {
        let weighed: Vec<_> = surges.weighed().collect();
        let doubtful = if weighed.iter().all(|s| s.valid) {
            ""
        } else {
            ", not valid while air may stay"
        };
        let weight = weight_n_per_m3(study);
        let most = |i: usize| {
            weighed
                .iter()
                .filter_map(|s| s.points.get(i))
                .map(|p| p.head_max_m)
                .reduce(f64::max)
        };
        let least = |(i, z): (usize, f64)| {
            weighed
                .iter()
                .filter_map(|s| {
                    let point = s.points.get(i)?;
                    // Where the water parts, the head is that at which it boils.
                    point
                        .head_min_m
                        .or_else(|| s.vapour.map(|v| z + v.limit_pa / weight))
                })
                .reduce(f64::min)
        };
        let high: Vec<(f64, f64)> = stations
            .iter()
            .enumerate()
            .filter_map(|(i, s)| most(i).map(|h| (*s, h)))
            .collect();
        let low: Vec<(f64, f64)> = stations
            .iter()
            .zip(&line.heights.mean_m)
            .enumerate()
            .filter_map(|(i, (s, z))| least((i, *z)).map(|h| (*s, h)))
            .collect();
        for (trace, name, chain) in [
            (Trace::SurgeHigh, "highest surge", high),
            (Trace::SurgeLow, "lowest surge", low),
        ] {
            if chain.len() > 1 {
                out.push(Series {
                    trace,
                    name: format!("{name}{doubtful}"),
                    chains_m: vec![chain],
                });
            }
        }
    }
    if let Some(run) = running(study) {
        out.push(Series {
            trace: Trace::Running,
            name: format!("grade line, {}", run.name),
            chains_m: vec![
                run.points
                    .iter()
                    .flat_map(|p| {
                        let mut both = vec![(p.station_m, p.grade_line_m)];
                        if p.grade_line_below_m != p.grade_line_m {
                            both.push((p.station_m, p.grade_line_below_m));
                        }
                        both
                    })
                    .collect(),
            ],
        });
    }
    out.extend(regraded(study));
    out
}

/// The running state that is drawn: the one with the largest flow.
pub(super) fn running(study: &Study) -> Option<&Run> {
    study.cases.largest_flow().filter(|r| r.flows())
}

fn weight_n_per_m3(study: &Study) -> f64 {
    let density = study
        .cases
        .runs
        .first()
        .map_or(1000.0, |r| r.water.density_kg_per_m3);
    density * study.line.situation.gravity_m_per_s2
}

/// What each pipe may take, as a head over the pipe.
fn rating(study: &Study, strength: &Strength) -> Option<Series> {
    let weight = weight_n_per_m3(study);
    let heights = &study.line.heights;
    let chains_m: Vec<Vec<(f64, f64)>> = strength
        .reaches
        .iter()
        .filter_map(|reach| {
            let head = reach.rating_pa? / weight;
            let inner = heights
                .station_m
                .iter()
                .filter(|s| **s > reach.from_m && **s < reach.to_m);
            let stations = std::iter::once(&reach.from_m)
                .chain(inner)
                .chain([&reach.to_m]);
            Some(stations.map(|s| (*s, heights.at(*s) + head)).collect())
        })
        .collect();
    (!chains_m.is_empty()).then_some(Series {
        trace: Trace::Rating,
        name: "rating of the pipe".to_owned(),
        chains_m,
    })
}

/// Where the first plan would put the pipe, over the reaches that it changes.
fn regraded(study: &Study) -> Option<Series> {
    let plan = study.regrade.first()?;
    let heights = &study.line.heights;
    let mut chains_m: Vec<Vec<(f64, f64)>> = vec![Vec::new()];
    for ((s, now), wanted) in heights
        .station_m
        .iter()
        .zip(&heights.mean_m)
        .zip(&plan.wanted_m)
    {
        match chains_m.last_mut() {
            Some(chain) if (wanted - now).abs() > 1e-3 => chain.push((*s, *wanted)),
            Some(chain) if !chain.is_empty() => chains_m.push(Vec::new()),
            _ => {}
        }
    }
    chains_m.retain(|c| c.len() > 1);
    (!chains_m.is_empty()).then_some(Series {
        trace: Trace::Regraded,
        name: "put right, least work".to_owned(),
        chains_m,
    })
}

fn zones(line: &Line, say: Say) -> Vec<Zone> {
    line.reaches
        .iter()
        .map(|reach| {
            let rating = reach
                .pipe
                .rating_pa
                .map(|pa| format!(", {}", say.pressure(pa)));
            let spec = reach.pipe.spec.clone();
            Zone {
                from_m: reach.from_m,
                to_m: reach.to_m,
                names: vec![format!("{spec}{}", rating.unwrap_or_default()), spec],
            }
        })
        .collect()
}

/// Stations that deserve a column before others: where pipes meet, lows and crests, then what stands on the line.
fn columns(profile: &Profile, pipes: impl Iterator<Item = f64>, tags: &[Tag]) -> Vec<f64> {
    let mut out: Vec<f64> = pipes.collect();
    for climb in profile
        .climbs
        .iter()
        .filter(|c| c.verdict == Verdict::Climbs)
    {
        out.extend([climb.low_station_m, climb.crest_station_m]);
    }
    out.extend(
        tags.iter()
            .filter(|t| t.symbol == Symbol::Vent || t.symbol == Symbol::Drain)
            .map(|t| t.station_m),
    );
    out
}

fn tag(station_m: f64, symbol: Symbol, label: String) -> Tag {
    Tag {
        station_m,
        symbol,
        wanted: false,
        label,
        id: String::new(),
        matters: true,
    }
}

fn tags(account: &Account, say: Say) -> Vec<Tag> {
    let study = &account.study;
    let line = &study.line;
    let mut tags = vec![tag(0.0, Symbol::Intake, "intake".to_owned())];
    tags.extend(line.fittings.iter().map(|f| {
        tag(
            f.station_m,
            drawn::fitting_symbol(f.kind),
            format!("{}, {}", f.name, say.station(f.station_m)),
        )
    }));
    tags.extend(
        account
            .marks
            .iter()
            .filter(|m| m.kind != MarkKind::Stake)
            .map(|m| Tag {
                wanted: m.standing == Standing::Wanted,
                id: m.id.clone(),
                matters: m.kind != MarkKind::Joint,
                ..tag(
                    m.station_m,
                    drawn::symbol(m.kind),
                    drawn::mark_label(m, say),
                )
            }),
    );
    tags.extend(shape_tags(&study.profile, say));
    tags.extend(places(&study.route.places, say));
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
            format!("turbine, {}", say.station(line.length_m())),
        ));
    }
    tags.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    tags
}

/// Lows and crests.
fn shape_tags(profile: &Profile, say: Say) -> Vec<Tag> {
    let mut out = Vec::new();
    for climb in &profile.climbs {
        let rise = Figure::new(Quantity::Head, climb.rise_m)
            .sd(climb.rise_sd_m)
            .parts(say.0);
        let (crest, low) = match climb.verdict {
            Verdict::Climbs => (
                format!(
                    "crest, {}, up {} {}",
                    say.station(climb.crest_station_m),
                    rise.value,
                    rise.unit
                ),
                format!("low, {}", say.station(climb.low_station_m)),
            ),
            Verdict::CannotTell => (
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

fn places(places: &[StationedPlace], say: Say) -> Vec<Tag> {
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

fn shape_keys(sd_m: &[f64], ground: bool, humps: &[Hump]) -> Vec<(Key, String)> {
    let mut out = if sd_m.iter().any(|s| *s > 0.0) {
        vec![(Key::Doubt, "pipe and its doubt".to_owned())]
    } else {
        vec![(Key::Pipe, "pipe".to_owned())]
    };
    if ground {
        out.push((Key::Ground, "ground".to_owned()));
    }
    if humps.iter().any(|h| h.certain) {
        out.push((Key::Climb, "climbs; air would stay".to_owned()));
    }
    if humps.iter().any(|h| !h.certain) {
        out.push((Key::Unsure, "may climb: cannot tell".to_owned()));
    }
    out
}

fn shape_rows(station_m: &[f64], elevation_m: &[f64], units: Units, decimals: usize) -> Vec<Row> {
    let size = match units {
        Units::Metric => 1.0,
        Units::Us => 0.3048,
    };
    let unit = drawn::unit(units);
    let all = |values: &[f64]| values.iter().copied().map(Some).collect::<Vec<_>>();
    vec![
        Row {
            head: format!("station, {unit}"),
            figures: all(station_m),
            between: false,
            write: Write::Plain { size, decimals: 0 },
        },
        Row {
            head: format!("height, {unit}"),
            figures: all(elevation_m),
            between: false,
            write: Write::Plain { size, decimals },
        },
        Row {
            head: "fall".to_owned(),
            figures: all(elevation_m),
            between: true,
            write: Write::Words(fall),
        },
    ]
}

/// A fall between two columns in the fewest letters.
fn fall(share: f64) -> String {
    let share = (share * 1e4).round() / 1e4;
    if share.abs() < 0.002 {
        "level".to_owned()
    } else if share > 0.0 {
        format!("1 in {}", run(1.0 / share))
    } else {
        format!("up 1 in {}", run(-1.0 / share))
    }
}

fn run(of: f64) -> String {
    if of < 9.95 {
        format!("{of:.1}")
    } else {
        format!("{of:.0}")
    }
}

fn rows(study: &Study, units: Units, decimals: usize) -> Vec<Row> {
    let heights = &study.line.heights;
    let mut rows = shape_rows(&heights.station_m, &heights.mean_m, units, decimals);
    let (size, places, unit) = match units {
        Units::Metric => (1e5, 1, "bar"),
        Units::Us => (6_894.757_293_168, 0, "psi"),
    };
    let mut row = |head: &str, figures: Vec<Option<f64>>| {
        if figures.iter().any(Option::is_some) {
            rows.push(Row {
                head: format!("{head}, {unit}"),
                figures,
                between: false,
                write: Write::Plain {
                    size,
                    decimals: places,
                },
            });
        }
    };
    let of_run = |run: &Run| {
        run.points
            .iter()
            .map(|p| Some(p.pressure_pa.max(p.pressure_below_pa)))
            .collect()
    };
    if let Some(shut) = study.cases.named("shut") {
        row("standing", of_run(shut));
    }
    if let Some(run) = running(study) {
        row("running", of_run(run));
    }
    if let Some(surges) = &study.surges {
        let highest = (0..heights.station_m.len())
            .map(|i| {
                surges
                    .weighed()
                    .filter_map(|s| s.points.get(i))
                    .map(|p| p.pressure_max_pa)
                    .reduce(f64::max)
            })
            .collect();
        row("surge", highest);
    }
    rows
}

fn notes(account: &Account) -> Vec<(String, String)> {
    let study = &account.study;
    let line = &study.line;
    let say = Say(account.units);
    let mut notes = vec![
        ("survey".to_owned(), drawn::surveyed(&study.route)),
        (
            "heights".to_owned(),
            drawn::datum(&study.route, line.drop_m(), account.units),
        ),
    ];
    if let Some(run) = running(study) {
        notes.push((
            "running".to_owned(),
            format!("{}, {}", run.name, say.flow(run.flow_m3_per_s)),
        ));
    }
    let unsure: Vec<String> = account
        .findings
        .iter()
        .filter(|f| f.from_memory)
        .map(|f| format!("F{}", f.number))
        .collect();
    if !unsure.is_empty() {
        notes.push((
            "not verified".to_owned(),
            format!("figures behind {}", unsure.join(", ")),
        ));
    }
    notes.extend(drawn::taken(line));
    notes.push(drawn::program());
    notes
}
