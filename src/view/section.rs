//! The longitudinal section of a study or of a survey: which lines, labels and figures are drawn, and their words.

use super::drawn;
use super::section_line::{running, series};
use super::section_row::{places_m, rows, shape_rows};
use super::section_tag::{places, shape_tags, tags};
use crate::drawing::{
    ClimbReach, LegendKey, LongSection, PipeBand, SectionLine, Series, Symbol, Tag,
};
use crate::line::Reaches;
use crate::numeric::series::{first, last};
use crate::pipe::MarkKind;
use crate::profile::{Climb, ClimbVerdict, Profile};
use crate::report::account::{Report, StormReport, SurveyReport};
use crate::words::{Say, survey_line, verdict_line};

const KIND: &str = "Longitudinal section";

/// The section of a check.
pub fn of_check(account: &Report) -> LongSection {
    let study = &account.study;
    let line = &study.line;
    let units = account.units;
    let say = account.say();
    let heights = &line.geometry.heights;
    let sd_m = drawn::against_intake_sd_m(heights);
    let humps = humps(&study.profile, &study.route.unrecorded, say);
    let series = series(study);
    let tags = tags(account, say);
    let mut legend = shape_keys(
        &sd_m,
        line.geometry.ground_m.iter().any(Option::is_some),
        &humps,
    );
    legend.extend(
        series
            .iter()
            .map(|s| (LegendKey::Trace(s.trace), s.name.clone())),
    );
    legend.dedup_by(|a, b| a.0 == b.0);
    legend.extend(drawn::symbol_keys(
        tags.iter().map(|t| (t.symbol, t.wanted)),
    ));
    LongSection {
        units,
        rows: rows(study, say, drawn::height_decimals(&sd_m, units)),
        station_m: heights.station_m.clone(),
        pegs_m: places_m(&heights.station_m, say),
        elevation_m: heights.mean_m.clone(),
        sd_m,
        ground_m: line.geometry.ground_m.clone(),
        series,
        zones: zones(&line.reaches, say),
        humps,
        columns_m: columns(&study.profile, line.reaches.iter().map(|r| r.to_m), &tags),
        tags,
        legend,
        notes: notes(account),
        words: drawn::words(
            &line.heading.title,
            verdict_line(&account.findings, say),
            KIND,
            units,
        ),
    }
}

/// The section of a comparison: the line as it lies now, and where it lay before.
pub fn of_storm(account: &StormReport) -> LongSection {
    let mut section = of_check(&account.after);
    let heights = &account.before.study.line.geometry.heights;
    let before = Series {
        trace: SectionLine::Before,
        name: "as it lay before".to_owned(),
        chains_m: vec![
            heights
                .station_m
                .iter()
                .copied()
                .zip(heights.mean_m.iter().copied())
                .collect(),
        ],
    };
    section.legend.insert(
        1.min(section.legend.len()),
        (LegendKey::Trace(before.trace), before.name.clone()),
    );
    section.series.push(before);
    section
}

/// The section of a survey alone: the pipe's line and what it does.
pub fn of_survey(account: &SurveyReport) -> LongSection {
    let surveyed = &account.surveyed;
    let (route, profile, units) = (&surveyed.route, &surveyed.profile, account.units);
    let say = account.say();
    let heights = &route.heights;
    let sd_m = drawn::against_intake_sd_m(heights);
    let humps = humps(profile, &route.unrecorded, say);
    let mut tags = shape_tags(profile, say);
    tags.extend(places(&route.places, say));
    tags.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    let mut legend = shape_keys(&sd_m, false, &humps);
    legend.extend(drawn::symbol_keys(
        tags.iter().map(|t| (t.symbol, t.wanted)),
    ));
    let drop = first(&heights.mean_m) - last(&heights.mean_m);
    LongSection {
        units,
        rows: shape_rows(
            &heights.station_m,
            &heights.mean_m,
            say,
            drawn::height_decimals(&sd_m, units),
        ),
        station_m: heights.station_m.clone(),
        pegs_m: places_m(&heights.station_m, say),
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
            ("survey".to_owned(), drawn::surveyed(route, "")),
            ("heights".to_owned(), drawn::datum(route, drop, units)),
            (
                "threshold".to_owned(),
                format!("inside diameter {}", say.bore(surveyed.bore_m)),
            ),
            drawn::program(),
        ],
        words: drawn::words(&account.title, survey_line(surveyed, say), KIND, units),
    }
}

/// What climbs or may; a stretch that nobody recorded looks like any other of which the survey cannot tell.
fn humps(profile: &Profile, unrecorded: &[(f64, f64)], say: Say) -> Vec<ClimbReach> {
    let mut humps: Vec<ClimbReach> = profile.climbs.iter().map(|c| hump(c, say)).collect();
    for &(from, to) in unrecorded {
        let shown = |h: &ClimbReach| h.reach_m.0 < to && h.reach_m.1 > from;
        if !humps.iter().any(shown) {
            humps.push(ClimbReach {
                label: format!("{}: not recorded", say.reach(from, to)),
                reach_m: (from, to),
                low_m: from,
                crest_m: to,
                end_m: to,
                certain: false,
            });
        }
    }
    humps.sort_by(|a, b| a.reach_m.0.total_cmp(&b.reach_m.0));
    humps
}

fn hump(climb: &Climb, say: Say) -> ClimbReach {
    let rise = say
        .head_sd(climb.rise_m, climb.rise_sd_m)
        .replace("+-", "\u{b1}");
    ClimbReach {
        label: match climb.verdict {
            ClimbVerdict::Climbs => format!(
                "{}: rises {rise}",
                say.reach(climb.low_station_m, climb.crest_station_m)
            ),
            ClimbVerdict::CannotTell => format!(
                "{}: rise {rise}, not certain",
                say.reach(climb.reach_from_m, climb.reach_to_m)
            ),
        },
        reach_m: (climb.reach_from_m, climb.reach_to_m),
        low_m: climb.low_station_m,
        crest_m: climb.crest_station_m,
        end_m: climb.end_station_m,
        certain: climb.verdict == ClimbVerdict::Climbs,
    }
}

fn zones(reaches: &Reaches, say: Say) -> Vec<PipeBand> {
    reaches
        .iter()
        .map(|reach| {
            let rating = reach
                .pipe
                .rating_pa
                .map(|pa| format!(", {}", say.pressure(pa)));
            let spec = reach.pipe.spec.clone();
            PipeBand {
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
        .filter(|c| c.verdict == ClimbVerdict::Climbs)
    {
        out.extend([climb.low_station_m, climb.crest_station_m]);
    }
    out.extend(
        tags.iter()
            .filter(|t| {
                t.symbol == Symbol::Mark(MarkKind::Vent)
                    || t.symbol == Symbol::Mark(MarkKind::Drain)
            })
            .map(|t| t.station_m),
    );
    out
}

fn shape_keys(sd_m: &[f64], ground: bool, humps: &[ClimbReach]) -> Vec<(LegendKey, String)> {
    let mut out = if sd_m.iter().any(|s| *s > 0.0) {
        vec![(LegendKey::Doubt, "pipe and its uncertainty".to_owned())]
    } else {
        vec![(LegendKey::Pipe, "pipe".to_owned())]
    };
    if ground {
        out.push((LegendKey::Ground, "ground".to_owned()));
    }
    if humps.iter().any(|h| h.certain) {
        out.push((LegendKey::Climb, "pipe rises, air would stay".to_owned()));
    }
    if humps.iter().any(|h| !h.certain) {
        out.push((LegendKey::Unsure, "possible rise, not certain".to_owned()));
    }
    out
}

fn notes(account: &Report) -> Vec<(String, String)> {
    let study = &account.study;
    let line = &study.line;
    let say = account.say();
    let mut notes = drawn::title_block(&line.heading);
    notes.extend([
        (
            "survey".to_owned(),
            drawn::surveyed(&study.route, &line.heading.surveyed_on),
        ),
        (
            "heights".to_owned(),
            drawn::datum(&study.route, line.geometry.drop_m(), account.units),
        ),
    ]);
    if let Some(run) = running(study) {
        notes.push((
            "operating".to_owned(),
            format!(
                "{}, {}",
                run.state(),
                say.flow_sd(run.flow_m3_per_s, run.flow_sd_m3_per_s)
            )
            .replace("+-", "\u{b1}"),
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
            format!("values behind {}", unsure.join(", ")),
        ));
    }
    notes.extend(drawn::taken(&line.assumed, account.say()));
    notes.push(drawn::program());
    notes
}
