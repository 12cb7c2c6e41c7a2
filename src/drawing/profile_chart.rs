//! The chart of the section: ground, pipe, water levels, climbs, and what stands on the line.

use super::advance::fitted;
use super::cut::{area_cut, clipped, thinned};
use super::frame::{HEAD_MM, ground_line, hatched, rating_line};
use super::ink::{Ink, Pen};
use super::item::{Align, Box, Item, PaperPoint, Role, Text};
use super::profile_table::TableColumn;
use super::scale::{DrawingScale, round_stations, ruling};
use super::section::{ClimbReach, LongSection, SectionLine, Series};
use super::section_frame::{Frame, RULING_MM};
use crate::numeric::Spans;

/// Heights that a stretch of the section spans, m: ground and pipe, so that they are drawn as high as they can be.
pub(super) fn range_m(section: &LongSection, part: (f64, f64)) -> (f64, f64) {
    let inside = |s: f64| s >= part.0 - 1e-6 && s <= part.1 + 1e-6;
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    let mut take = |z: f64| {
        if z.is_finite() {
            low = low.min(z);
            high = high.max(z);
        }
    };
    let grid = section
        .station_m
        .iter()
        .zip(&section.elevation_m)
        .zip(&section.sd_m);
    let ends = [part.0, part.1].map(|s| section.elevation_at(s));
    ends.into_iter().for_each(&mut take);
    for ((_, z), sd) in grid.filter(|((s, _), _)| inside(**s)) {
        take(z - 2.0 * sd);
        take(z + 2.0 * sd);
    }
    for (s, ground) in section.station_m.iter().zip(&section.ground_m) {
        if inside(*s) {
            ground.iter().copied().for_each(&mut take);
        }
    }
    let heads = |series: &Series| -> Vec<f64> {
        series
            .chains_m
            .iter()
            .flatten()
            .filter(|(s, _)| inside(*s))
            .map(|(_, z)| *z)
            .collect()
    };
    for series in section.series.iter().filter(|s| !s.trace.is_head()) {
        heads(series).into_iter().for_each(&mut take);
    }
    if high > low {
        (low, high)
    } else {
        (low - 1.0, low + 1.0)
    }
}

/// The chart with its rulings and labels.
pub(super) fn chart(
    section: &LongSection,
    (frame, under): (&Frame, &Frame),
    across: &DrawingScale,
    up: &DrawingScale,
    columns: &[TableColumn],
) -> Vec<Item> {
    let mut items = Vec::new();
    let here = |h: &&ClimbReach| h.reach_m.1 > frame.from_m && h.reach_m.0 < frame.to_m;
    for hump in section.humps.iter().filter(here) {
        items.extend(reach(hump, frame));
    }
    items.extend(heights(section, frame, up));
    items.extend(stations(section, under, across));
    items.extend(doubt(section, frame));
    for hump in section.humps.iter().filter(here) {
        items.extend(pocket(section, hump, frame));
    }
    items.extend(ordinates(section, (frame, under), columns));
    items.extend(ground(section, frame));
    let own: Vec<&Series> = section
        .series
        .iter()
        .filter(|s| !s.trace.is_head())
        .collect();
    items.extend(lines(section, &own, frame));
    items.extend(pipe(section, frame));
    items.push(Item::rectangle(
        frame.area(),
        Some(Pen::new(Ink::BLACK, 0.35)),
        None,
    ));
    items.extend(super::profile_tag::tags(section, frame));
    items
}

/// A reach that climbs is shaded; one of which the survey cannot tell is hatched.
pub(super) fn reach(hump: &ClimbReach, frame: &Frame) -> Vec<Item> {
    let (from, to) = if hump.certain {
        (hump.low_m, hump.end_m)
    } else {
        hump.reach_m
    };
    let of = Box {
        left: frame.x(from.max(frame.from_m)),
        right: frame.x(to.min(frame.to_m)),
        ..frame.area()
    };
    if of.right <= of.left {
        Vec::new()
    } else if hump.certain {
        vec![Item::rectangle(of, None, Some(Ink::CLIMB))]
    } else {
        hatched(of)
    }
}

/// Grid of heights.
fn heights(section: &LongSection, frame: &Frame, up: &DrawingScale) -> Vec<Item> {
    let mut items = Vec::new();
    let faint = Pen::new(Ink::FAINT, 0.18);
    let units = section.units;
    let step = up.step_m(7.0);
    let top_m = frame.base_m + (frame.bottom_mm - frame.top_mm) / frame.up_mm_per_m;
    let mut height = (frame.base_m / step).ceil() * step;
    while height <= top_m {
        let y = frame.y(height);
        items.push(Item::line(
            vec![(frame.left_mm, y), (frame.right_mm, y)],
            faint,
        ));
        if y < frame.bottom_mm - 0.8 && y > frame.top_mm + 2.6 {
            items.push(Item::Text(
                Text::new(
                    (frame.left_mm - 1.4, y + 0.9),
                    HEAD_MM,
                    Role::Ruling,
                    ruling(height, step, units),
                )
                .align(Align::End),
            ));
        }
        height += step;
    }
    items.push(Item::Text(
        Text::new(
            (frame.left_mm - 17.5, 0.5 * (frame.top_mm + frame.bottom_mm)),
            HEAD_MM,
            Role::Word,
            fitted(
                &section.words.heights,
                HEAD_MM,
                false,
                frame.bottom_mm - frame.top_mm,
            ),
        )
        .align(Align::Middle)
        .turned()
        .colour(Ink::GREY),
    ));
    items
}

/// Stations under the lowest panel: a stroke a step, a number where it has room.
fn stations(section: &LongSection, frame: &Frame, across: &DrawingScale) -> Vec<Item> {
    let mut items = Vec::new();
    let units = section.units;
    let step = across.step_m(14.0);
    let base = frame.bottom_mm + RULING_MM - 1.0;
    for (station, figure) in round_stations(&section.station_m, &section.pegs_m, step) {
        if station < frame.from_m - 1e-6 || station > frame.to_m + 1e-6 {
            continue;
        }
        let x = frame.x(station);
        items.push(Item::line(
            vec![(x, frame.bottom_mm), (x, frame.bottom_mm + 1.0)],
            Pen::new(Ink::BLACK, 0.25),
        ));
        items.push(Item::Text(
            Text::new(
                (x, base),
                HEAD_MM,
                Role::Ruling,
                ruling(figure, step, units),
            )
            .align(Align::Middle),
        ));
    }
    items
}

/// Where the pipe lies in nineteen of twenty lines that fit the survey.
pub(super) fn doubt(section: &LongSection, frame: &Frame) -> Vec<Item> {
    let rows: Vec<(f64, f64, f64)> = section
        .station_m
        .iter()
        .zip(&section.elevation_m)
        .zip(&section.sd_m)
        .map(|((s, z), sd)| (*s, *z, 2.0 * sd))
        .collect();
    let edge = |sign: f64| -> Vec<(f64, f64)> {
        rows.iter().map(|(s, z, d)| (*s, z + sign * d)).collect()
    };
    let (over, under) = (edge(1.0), edge(-1.0));
    let all = over.iter().chain(under.iter().rev());
    let all: Vec<PaperPoint> = all.map(|&(s, z)| frame.at(s, z)).collect();
    let outline = area_cut(&all, &frame.area());
    if outline.len() < 3 {
        return Vec::new();
    }
    vec![Item::area(outline, Ink::DOUBT)]
}

/// Air that stays under a crest: over the level at which it spills.
pub(super) fn pocket(section: &LongSection, hump: &ClimbReach, frame: &Frame) -> Vec<Item> {
    let level = section
        .elevation_at(hump.low_m)
        .max(section.elevation_at(hump.end_m));
    let mut points: Vec<(f64, f64)> =
        vec![(hump.low_m, section.elevation_at(hump.low_m).max(level))];
    points.extend(
        section
            .station_m
            .iter()
            .zip(&section.elevation_m)
            .filter(|(s, _)| **s > hump.low_m && **s < hump.end_m)
            .map(|(s, z)| (*s, z.max(level))),
    );
    points.push((hump.end_m, level));
    let outline: Vec<PaperPoint> = clipped(&points, frame).into_iter().flatten().collect();
    if outline.len() < 3 {
        return Vec::new();
    }
    vec![Item::Path {
        chains: vec![outline],
        closed: true,
        pen: Some(Pen::new(Ink::AIR, 0.2)),
        fill: Some(if hump.certain { Ink::AIR } else { Ink::WHITE }),
    }]
}

fn ordinates(
    section: &LongSection,
    (frame, under): (&Frame, &Frame),
    columns: &[TableColumn],
) -> Vec<Item> {
    let strokes: Vec<Vec<PaperPoint>> = columns
        .iter()
        .filter_map(|c| {
            let (s, z) = (
                section.station_m.get(c.index)?,
                section.elevation_m.get(c.index)?,
            );
            Some(vec![frame.at(*s, *z), (frame.x(*s), under.bottom_mm)])
        })
        .collect();
    vec![Item::lines(strokes, Pen::new(Ink::PALE, 0.13))]
}

pub(super) fn ground(section: &LongSection, frame: &Frame) -> Vec<Item> {
    let mut chains: Vec<Vec<(f64, f64)>> = vec![Vec::new()];
    for (s, ground) in section.station_m.iter().zip(&section.ground_m) {
        match (ground, chains.last_mut()) {
            (Some(z), Some(chain)) => chain.push((*s, *z)),
            _ => chains.push(Vec::new()),
        }
    }
    chains
        .iter()
        .filter(|c| c.len() > 1)
        .flat_map(|c| clipped(c, frame))
        .flat_map(|c| ground_line(&thinned(&c)))
        .collect()
}

pub(super) fn lines(section: &LongSection, of: &[&Series], frame: &Frame) -> Vec<Item> {
    let mut items = Vec::new();
    for series in of {
        let chains: Vec<Vec<PaperPoint>> = series
            .chains_m
            .iter()
            .flat_map(|c| clipped(c, frame))
            .map(|c| thinned(&c))
            .collect();
        let drawn = if series.trace == SectionLine::Rating {
            if chains.is_empty() {
                let words = &section.words.rating_above;
                items.push(Item::Text(
                    Text::new(
                        // Heads begin small at the intake.
                        (frame.left_mm + 2.0, frame.top_mm + 3.4),
                        HEAD_MM,
                        Role::Word,
                        words.clone(),
                    )
                    .colour(Ink::RATING),
                ));
            }
            chains.iter().flat_map(|c| rating_line(c)).collect()
        } else {
            vec![Item::lines(chains, series.trace.pen())]
        };
        items.push(Item::Group {
            name: series.name.clone(),
            items: drawn,
        });
    }
    items
}

/// The pipe, broken where the survey cannot tell whether it climbs.
pub(super) fn pipe(section: &LongSection, frame: &Frame) -> Vec<Item> {
    let line: Vec<(f64, f64)> = section
        .station_m
        .iter()
        .copied()
        .zip(section.elevation_m.iter().copied())
        .collect();
    let unsure = Spans::of(
        section
            .humps
            .iter()
            .filter(|h| !h.certain)
            .map(|h| (h.reach_m.0 + 2e-9, h.reach_m.1 + 1e-9)),
    );
    let mut sure_chains = Vec::new();
    let mut unsure_chains = Vec::new();
    let mut chain: Vec<(f64, f64)> = Vec::new();
    let mut state = false;
    for (i, point) in line.iter().enumerate() {
        let now = unsure.hold(point.0);
        if i > 0 && now != state && !chain.is_empty() {
            let last = chain.last().copied();
            let done = std::mem::take(&mut chain);
            if state {
                unsure_chains.push(done)
            } else {
                sure_chains.push(done)
            }
            chain.extend(last);
        }
        state = now;
        chain.push(*point);
    }
    if state {
        unsure_chains.push(chain)
    } else {
        sure_chains.push(chain)
    }
    let drawn = |chains: Vec<Vec<(f64, f64)>>| -> Vec<Vec<PaperPoint>> {
        chains
            .iter()
            .flat_map(|c| clipped(c, frame))
            .map(|c| thinned(&c))
            .collect()
    };
    vec![
        Item::lines(drawn(sure_chains), Ink::PIPE_PEN),
        Item::lines(drawn(unsure_chains), Ink::UNSURE_PIPE_PEN),
    ]
}
