//! A reach that changed, from the side: as it lay, as it lies, as it is wanted, with the stakes.

use super::moved_told::{KIND, aligned, stakes};
use super::{drawn, section, section_row, section_tag};
use crate::drawing::{
    LegendKey, LongSection, PipeBand, SectionLine, Series, Symbol, TableRow, Tag, Write,
};
use crate::numeric::series::interpolate;
use crate::pipe::MarkKind;
use crate::regrade::Stake;
use crate::report::account::StormReport;
use crate::unit::exact::FOOT_M;
use crate::unit::{Figure, Quantity, Units};
use crate::words::Say;
use crate::words::storm::moved;

/// Stations of a line with its heights over a reach, its ends included.
fn chain(station_m: &[f64], height_m: &[f64], from: f64, to: f64) -> Vec<(f64, f64)> {
    let (Some(first), Some(last)) = (station_m.first(), station_m.last()) else {
        return Vec::new();
    };
    let (from, to) = (from.max(*first), to.min(*last));
    let at = |s: f64| (s, interpolate(station_m, height_m, s));
    let mut out = vec![at(from)];
    out.extend(
        station_m
            .iter()
            .zip(height_m)
            .map(|(s, z)| (*s, *z))
            .filter(|(s, _)| *s > from + 1e-9 && *s < to - 1e-9),
    );
    out.push(at(to));
    out
}

/// One reach from the side.
pub(super) fn part(account: &StormReport, from: f64, to: f64) -> LongSection {
    let after = &account.after;
    let say = after.say();
    let heights = &after.study.line.geometry.heights;
    let inside = |s: f64| s >= from - 1e-6 && s <= to + 1e-6;
    let whole = section::of_check(after);
    let (station_m, elevation_m): (Vec<f64>, Vec<f64>) =
        chain(&heights.station_m, &heights.mean_m, from, to)
            .into_iter()
            .unzip();
    let base = heights.station_m.partition_point(|s| *s < from - 1e-6);
    let all_sd = drawn::against_sd_m(heights, base);
    let sd_m: Vec<f64> = station_m
        .iter()
        .map(|s| interpolate(&heights.station_m, &all_sd, *s))
        .collect();
    let before = &account.before.study.line.geometry.heights;
    let mut series = vec![Series {
        trace: SectionLine::Before,
        name: "as it lay before".to_owned(),
        chains_m: vec![chain(&before.station_m, &before.mean_m, from, to)],
    }];
    if let Some(plan) = account.compared.regrade.first() {
        series.push(Series {
            trace: SectionLine::Regraded,
            name: "regraded, minimum earthwork".to_owned(),
            chains_m: vec![chain(&heights.station_m, &plan.wanted_m, from, to)],
        });
    }
    let here: Vec<&Stake> = stakes(account)
        .iter()
        .filter(|s| inside(s.station_m))
        .collect();
    let mut tags: Vec<Tag> = section_tag::tags(after, say)
        .into_iter()
        .filter(|t| inside(t.station_m))
        .collect();
    tags.extend(here.iter().map(|s| stake_tag(account, s, say)));
    tags.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    let mut legend: Vec<(LegendKey, String)> = whole
        .legend
        .iter()
        .filter(|(key, _)| {
            matches!(
                key,
                LegendKey::Pipe | LegendKey::Doubt | LegendKey::Climb | LegendKey::Unsure
            )
        })
        .cloned()
        .collect();
    legend.extend(
        series
            .iter()
            .map(|s| (LegendKey::Trace(s.trace), s.name.clone())),
    );
    legend.extend(drawn::symbol_keys(
        tags.iter().map(|t| (t.symbol, t.wanted)),
    ));
    let mut words = whole.words;
    words.kind = format!("{KIND}, {}", say.reach(from, to));
    words.verdict = said(account, from, to, say);
    LongSection {
        rows: rows(
            &station_m,
            &elevation_m,
            &here,
            say,
            drawn::height_decimals(&sd_m, after.units),
        ),
        pegs_m: section_row::places_m(&station_m, say),
        ground_m: vec![None; station_m.len()],
        zones: whole
            .zones
            .into_iter()
            .filter(|z| z.to_m > from && z.from_m < to)
            .map(|z| PipeBand {
                from_m: z.from_m.max(from),
                to_m: z.to_m.min(to),
                ..z
            })
            .collect(),
        humps: whole
            .humps
            .into_iter()
            .filter(|h| h.reach_m.1 > from && h.reach_m.0 < to)
            .collect(),
        columns_m: here.iter().map(|s| s.station_m).collect(),
        notes: notes(account, from, to, say),
        station_m,
        elevation_m,
        sd_m,
        series,
        tags,
        legend,
        words,
        units: after.units,
    }
}

/// Title block of a reach: how the surveys lie on each other, and what the stakes are worth.
fn notes(account: &StormReport, from: f64, to: f64, say: Say) -> Vec<(String, String)> {
    let after = &account.after;
    let mut out = vec![aligned(account, say)];
    out.push((
        "heights".to_owned(),
        drawn::datum(
            &after.study.route,
            after.study.line.geometry.drop_m(),
            after.units,
        ),
    ));
    if stakes(account)
        .iter()
        .any(|s| s.station_m >= from && s.station_m <= to)
    {
        let doubtful: Vec<(f64, f64)> = account
            .compared
            .level_first_m
            .iter()
            .copied()
            .filter(|(a, b)| *b > from && *a < to)
            .collect();
        out.push((
            "stakes".to_owned(),
            if doubtful.is_empty() {
                "on the most probable profile: dig or raise the pipe centre by these values"
                    .to_owned()
            } else {
                format!(
                    "on the most probable profile: survey {} with a level before digging",
                    say.reaches(&doubtful)
                )
            },
        ));
    }
    out.push(drawn::program());
    out
}

/// What moved in a reach, in a line.
fn said(account: &StormReport, from: f64, to: f64, say: Say) -> String {
    let here: Vec<String> = account
        .compared
        .moved
        .iter()
        .filter(|m| m.to_m > from && m.from_m < to)
        .map(|m| moved(m, say))
        .collect();
    if here.is_empty() {
        "No movement here beyond the uncertainty of the two surveys".to_owned()
    } else {
        here.join("; ")
    }
}

fn stake_tag(account: &StormReport, stake: &Stake, say: Say) -> Tag {
    let mark = account
        .after
        .marks
        .iter()
        .find(|m| m.kind == MarkKind::Stake && (m.station_m - stake.station_m).abs() < 1e-6);
    let id = mark.map_or_else(String::new, |m| m.id.clone());
    let size = Figure::new(Quantity::Length, stake.change_m.abs()).show(say.units);
    let work = match stake.change_m {
        m if m.abs() < 5e-4 => "no change".to_owned(),
        m if m < 0.0 => format!("dig {size}"),
        _ => format!("raise {size}"),
    };
    Tag {
        station_m: stake.station_m,
        to_m: None,
        symbol: Symbol::Mark(MarkKind::Stake),
        wanted: true,
        label: format!("{id} {work}, {}", say.station(stake.station_m)),
        id,
        matters: false,
    }
}

/// Station and height everywhere; at a stake the height that is wanted and the work.
fn rows(
    station_m: &[f64],
    elevation_m: &[f64],
    stakes: &[&Stake],
    say: Say,
    decimals: usize,
) -> Vec<TableRow> {
    let units = say.units;
    let mut out = section_row::shape_rows(station_m, elevation_m, say, decimals);
    let size = match units {
        Units::Metric => 1.0,
        Units::Us => FOOT_M,
    };
    let at = |pick: fn(&Stake) -> Option<f64>| -> Vec<Option<f64>> {
        station_m
            .iter()
            .map(|s| {
                let stake = stakes.iter().find(|k| (k.station_m - s).abs() < 1e-6)?;
                pick(stake)
            })
            .collect()
    };
    let mut row = |name: &str, figures: Vec<Option<f64>>, decimals| {
        if figures.iter().any(Option::is_some) {
            out.push(TableRow {
                name: name.to_owned(),
                unit: drawn::unit(units).to_owned(),
                figures,
                between: false,
                write: Write::Plain { size, decimals },
            });
        }
    };
    // A height that is known to the metre is no height to set a stake by: the change is.
    if decimals > 0 {
        row("required", at(|k| Some(k.wanted_m)), decimals);
    }
    row("dig −, raise", at(|k| Some(k.change_m)), 2);
    row("extra for 90 %", at(|k| k.extra_m), 2);
    out
}
