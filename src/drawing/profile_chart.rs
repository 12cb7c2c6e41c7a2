//! The chart of the section: ground, pipe, water levels, climbs, and what stands on the line.

use super::advance::fitted;
use super::frame::{HEAD_MM, TYPE_MM, ground_line, hatched, rating_line};
use super::ink::{Ink, Pen};
use super::item::{Align, At, Box, Item, Role, Text};
use super::label::{Wish, spread};
use super::profile::{Frame, LABEL_PITCH_MM, LABELS_MM, RULING_MM};
use super::scale::{Scale, ruling};
use super::section::{Hump, Section, Series, Tag, Trace};

/// Heights that a stretch of the section spans, m: everything but what the pipe may take, and that too where it lies near.
pub(super) fn range_m(section: &Section, part: (f64, f64)) -> (f64, f64) {
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
    for series in section.series.iter().filter(|s| s.trace != Trace::Rating) {
        heads(series).into_iter().for_each(&mut take);
    }
    // The limit is shown where it comes near: within half as much again.
    let limit = section
        .series
        .iter()
        .filter(|s| s.trace == Trace::Rating)
        .flat_map(heads)
        .fold(f64::INFINITY, f64::min);
    if limit.is_finite() && limit <= high + 0.5 * (high - low) {
        high = high.max(limit + 0.04 * (high - low));
    }
    if high > low {
        (low, high)
    } else {
        (low - 1.0, low + 1.0)
    }
}

/// The chart with its rulings and labels.
pub(super) fn chart(
    section: &Section,
    frame: &Frame,
    across: &Scale,
    up: &Scale,
    columns: &[usize],
) -> Vec<Item> {
    let mut items = Vec::new();
    let here = |h: &&Hump| h.reach_m.1 > frame.from_m && h.reach_m.0 < frame.to_m;
    for hump in section.humps.iter().filter(here) {
        items.extend(reach(hump, frame));
    }
    items.extend(rulings(section, frame, across, up));
    items.extend(doubt(section, frame));
    for hump in section.humps.iter().filter(here) {
        items.extend(pocket(section, hump, frame));
    }
    items.extend(ordinates(section, frame, columns));
    items.extend(ground(section, frame));
    items.extend(lines(section, frame));
    items.extend(pipe(section, frame));
    items.push(Item::rectangle(
        frame.area(),
        Some(Pen::new(Ink::BLACK, 0.35)),
        None,
    ));
    items.extend(tags(section, frame));
    items
}

/// A reach that climbs is shaded; one of which the survey cannot tell is hatched.
fn reach(hump: &Hump, frame: &Frame) -> Vec<Item> {
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

/// Grid of heights, and the stations' ruling under the chart.
fn rulings(section: &Section, frame: &Frame, across: &Scale, up: &Scale) -> Vec<Item> {
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
    // Stations: a stroke a step, a number where it has room.
    let step = across.step_m(14.0);
    let mut station = (frame.from_m / step).ceil() * step;
    let base = frame.bottom_mm + RULING_MM - 1.0;
    while station <= frame.to_m + 1e-6 {
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
                ruling(station, step, units),
            )
            .align(Align::Middle),
        ));
        station += step;
    }
    items.push(Item::Text(
        Text::new(
            (super::paper::EDGE_MM, base),
            HEAD_MM,
            Role::Word,
            fitted(&section.words.stations, HEAD_MM, false, 18.0),
        )
        .colour(Ink::GREY),
    ));
    items
}

/// Where the pipe lies in nineteen of twenty lines that fit the survey.
fn doubt(section: &Section, frame: &Frame) -> Vec<Item> {
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
    let over = clipped(&edge(1.0), frame).into_iter().flatten();
    let under: Vec<At> = clipped(&edge(-1.0), frame).into_iter().flatten().collect();
    let outline: Vec<At> = over.chain(under.into_iter().rev()).collect();
    if outline.len() < 3 {
        return Vec::new();
    }
    vec![Item::area(outline, Ink::DOUBT)]
}

/// Air that stays under a crest: over the level at which it spills.
fn pocket(section: &Section, hump: &Hump, frame: &Frame) -> Vec<Item> {
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
    let outline: Vec<At> = clipped(&points, frame).into_iter().flatten().collect();
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

fn ordinates(section: &Section, frame: &Frame, columns: &[usize]) -> Vec<Item> {
    let strokes: Vec<Vec<At>> = columns
        .iter()
        .filter_map(|i| {
            let (s, z) = (section.station_m.get(*i)?, section.elevation_m.get(*i)?);
            Some(vec![frame.at(*s, *z), (frame.x(*s), frame.bottom_mm)])
        })
        .collect();
    vec![Item::lines(strokes, Pen::new(Ink::PALE, 0.13))]
}

fn ground(section: &Section, frame: &Frame) -> Vec<Item> {
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

fn lines(section: &Section, frame: &Frame) -> Vec<Item> {
    let mut items = Vec::new();
    for series in &section.series {
        let chains: Vec<Vec<At>> = series
            .chains_m
            .iter()
            .flat_map(|c| clipped(c, frame))
            .map(|c| thinned(&c))
            .collect();
        let drawn = if series.trace == Trace::Rating {
            if chains.is_empty() {
                let words = &section.words.rating_above;
                items.push(Item::Text(
                    Text::new(
                        (frame.right_mm - 2.0, frame.top_mm + 3.4),
                        HEAD_MM,
                        Role::Word,
                        words.clone(),
                    )
                    .align(Align::End)
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
fn pipe(section: &Section, frame: &Frame) -> Vec<Item> {
    let line: Vec<(f64, f64)> = section
        .station_m
        .iter()
        .copied()
        .zip(section.elevation_m.iter().copied())
        .collect();
    let unsure = |s: f64| {
        section
            .humps
            .iter()
            .any(|h| !h.certain && s > h.reach_m.0 + 1e-9 && s <= h.reach_m.1 + 1e-9)
    };
    let mut sure_chains = Vec::new();
    let mut unsure_chains = Vec::new();
    let mut chain: Vec<(f64, f64)> = Vec::new();
    let mut state = false;
    for (i, point) in line.iter().enumerate() {
        let now = unsure(point.0);
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
    let drawn = |chains: Vec<Vec<(f64, f64)>>| -> Vec<Vec<At>> {
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

/// A label with the tags that it speaks for.
struct Label<'a> {
    tags: Vec<&'a Tag>,
    text: String,
}

/// Symbols on the pipe, leaders up to labels in a row over the chart.
fn tags(section: &Section, frame: &Frame) -> Vec<Item> {
    let last = (section.length_m() - frame.to_m).abs() < 1e-6;
    let here: Vec<&Tag> = section
        .tags
        .iter()
        .filter(|t| t.station_m >= frame.from_m - 1e-6 && (t.station_m < frame.to_m - 1e-6 || last))
        .collect();
    let (from, to) = (
        frame.left_mm - 4.0,
        frame.right_mm.max(frame.left_mm + 60.0) + 1.0,
    );
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a number of labels"
    )]
    let most = ((to - from) / LABEL_PITCH_MM).floor().max(0.0) as usize;
    let labels = gathered(&here, most);
    let wishes: Vec<Wish> = labels
        .iter()
        .map(|l| Wish {
            at_mm: middle(&l.tags, frame),
            room_mm: LABEL_PITCH_MM,
        })
        .collect();
    let Some(places) = spread(&wishes, from, to) else {
        return Vec::new();
    };
    let leader = Pen::new(Ink::PALE, 0.16);
    let foot = frame.top_mm - 5.0;
    let mut items = Vec::new();
    let mut taken: Vec<Box> = Vec::new();
    for (label, x) in labels.iter().zip(places) {
        let at = middle(&label.tags, frame);
        let on_pipe = label
            .tags
            .iter()
            .map(|t| frame.y(section.elevation_at(t.station_m)))
            .fold(f64::INFINITY, f64::min);
        items.push(Item::line(
            vec![
                (at, on_pipe),
                (at, frame.top_mm),
                (x, foot),
                (x, foot - 0.6),
            ],
            leader,
        ));
        for tag in &label.tags {
            items.push(symbol(section, tag, frame, &mut taken));
        }
        let text = fitted(&label.text, TYPE_MM, false, LABELS_MM - 8.0);
        items.push(Item::Text(
            Text::new(
                (x + 0.26 * TYPE_MM, foot - 1.4),
                TYPE_MM,
                Role::Figure,
                text,
            )
            .turned(),
        ));
    }
    items
}

fn middle(tags: &[&Tag], frame: &Frame) -> f64 {
    let (first, last) = (tags.first(), tags.last());
    match (first, last) {
        (Some(a), Some(b)) => frame
            .x(0.5 * (a.station_m + b.station_m))
            .clamp(frame.left_mm, frame.right_mm),
        _ => frame.left_mm,
    }
}

/// A symbol on the pipe, lifted along its leader where another stands there already.
fn symbol(section: &Section, tag: &Tag, frame: &Frame, taken: &mut Vec<Box>) -> Item {
    let (x, mut y) = frame.at(
        tag.station_m.clamp(frame.from_m, frame.to_m),
        section.elevation_at(tag.station_m),
    );
    let room = |y: f64| Box {
        left: x - 1.7,
        right: x + 1.7,
        top: y - 2.2,
        bottom: y + 2.2,
    };
    let mut tries = 0;
    while taken.iter().any(|b| b.meets(&room(y))) && tries < 12 && y - 6.0 > frame.top_mm {
        y -= 4.6;
        tries += 1;
    }
    taken.push(room(y));
    let own = match tag.symbol {
        // What hangs under the pipe is not lifted into the air over it: its stem would point at nothing.
        super::Symbol::Low if tries > 0 => (x, y + 1.0),
        _ => (x, y),
    };
    Item::Group {
        name: tag.label.clone(),
        items: tag.symbol.items(own, tag.wanted),
    }
}

/// Labels for at most so many places: neighbours of one kind that give way are put together first ("J1 to J9"), then those that give way go without.
fn gathered<'a>(tags: &[&'a Tag], most: usize) -> Vec<Label<'a>> {
    let single = |t: &&'a Tag| Label {
        tags: vec![*t],
        text: t.label.clone(),
    };
    if tags.len() <= most {
        return tags.iter().map(single).collect();
    }
    for all in [false, true] {
        let mut out: Vec<Label<'a>> = Vec::new();
        for tag in tags {
            match out.last_mut() {
                Some(label)
                    if (all || !tag.matters)
                        && label.tags.last().is_some_and(|l| {
                            l.symbol == tag.symbol && l.wanted == tag.wanted && (all || !l.matters)
                        }) =>
                {
                    label.tags.push(tag);
                    let first = label.tags.first().map_or("", |t| t.id.as_str());
                    label.text = format!("{first}\u{2013}{}", tag.id);
                }
                _ => out.push(single(tag)),
            }
        }
        if out.len() <= most {
            return out;
        }
    }
    let kept: Vec<&&Tag> = tags.iter().filter(|t| t.matters).take(most).collect();
    kept.into_iter()
        .map(|t| Label {
            tags: vec![*t],
            text: t.label.clone(),
        })
        .collect()
}

/// A line through stations and heights cut to the chart.
fn clipped(points: &[(f64, f64)], frame: &Frame) -> Vec<Vec<At>> {
    let area = frame.area();
    let mut out: Vec<Vec<At>> = Vec::new();
    let mut chain: Vec<At> = Vec::new();
    for pair in points.windows(2) {
        let [a, b] = pair else { continue };
        let (p, q) = (frame.at(a.0, a.1), frame.at(b.0, b.1));
        match cut(p, q, &area) {
            Some((from, to)) => {
                let goes_on = chain.last().is_some_and(|l: &At| {
                    (l.0 - from.0).abs() < 1e-9 && (l.1 - from.1).abs() < 1e-9
                });
                if !goes_on {
                    if chain.len() > 1 {
                        out.push(std::mem::take(&mut chain));
                    }
                    chain.clear();
                    chain.push(from);
                }
                chain.push(to);
            }
            None => {
                if chain.len() > 1 {
                    out.push(std::mem::take(&mut chain));
                }
                chain.clear();
            }
        }
    }
    if chain.len() > 1 {
        out.push(chain);
    }
    out
}

/// The part of a straight line inside a rectangle (Liang and Barsky).
fn cut(p: At, q: At, area: &Box) -> Option<(At, At)> {
    let (dx, dy) = (q.0 - p.0, q.1 - p.1);
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (step, room) in [
        (-dx, p.0 - area.left),
        (dx, area.right - p.0),
        (-dy, p.1 - area.top),
        (dy, area.bottom - p.1),
    ] {
        if step == 0.0 {
            // Rounding at the very edge does not put a point outside.
            if room < -1e-9 {
                return None;
            }
        } else if step < 0.0 {
            from = from.max(room / step);
        } else {
            to = to.min(room / step);
        }
    }
    if from > to {
        return None;
    }
    let at = |t: f64| (p.0 + t * dx, p.1 + t * dy);
    Some((at(from), at(to)))
}

/// Points that a pen of a fifth of a millimetre would not show are left out.
fn thinned(points: &[At]) -> Vec<At> {
    use geo::{LineString, Simplify};
    if points.len() < 3 {
        return points.to_vec();
    }
    let line: LineString<f64> = points.to_vec().into();
    line.simplify(0.015).0.iter().map(|c| (c.x, c.y)).collect()
}
