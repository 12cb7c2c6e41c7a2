//! The table under the axis: a column a chosen station.

use super::advance::{fitted, text_width};
use super::frame::{HEAD_MM, TYPE_MM};
use super::ink::{Ink, Pen};
use super::item::{Align, Item, Role, Text};
use super::paper::EDGE_MM;
use super::profile::{Frame, ROW_MM, RULING_MM};
use super::scale::Scale;
use super::section::{Row, Section};

/// Least distance of two columns, mm: the widest figure and a gap; with what stands between them or without.
fn pitch_mm(section: &Section, with_between: bool) -> f64 {
    // Figures are of one width: the widest of a row is its least or its largest.
    let ends = |figures: Vec<f64>| {
        let least = figures.iter().copied().reduce(f64::min);
        let most = figures.into_iter().reduce(f64::max);
        least.into_iter().chain(most)
    };
    let widest = section
        .rows
        .iter()
        .filter(|row| with_between || !row.between)
        .flat_map(|row| {
            let figures = if row.between {
                falls(section, row)
            } else {
                ends(row.figures.iter().copied().flatten().collect()).collect()
            };
            figures
                .into_iter()
                .map(|f| text_width(&row.write.figure(f), TYPE_MM, false))
        })
        .fold(0.0, f64::max);
    (widest + 1.2).clamp(8.0, 24.0)
}

/// Falls between points of the grid that lie well apart: what the grade row will have to hold.
fn falls(section: &Section, row: &Row) -> Vec<f64> {
    let step = (section.station_m.len() / 24).max(1);
    let picked: Vec<(f64, f64)> = section
        .station_m
        .iter()
        .zip(&row.figures)
        .step_by(step)
        .filter_map(|(s, f)| f.map(|f| (*s, f)))
        .collect();
    picked
        .windows(2)
        .filter_map(|pair| match pair {
            [(s0, f0), (s1, f1)] if s1 > s0 => Some((f0 - f1) / (s1 - s0)),
            _ => None,
        })
        .collect()
}

/// Indexes into the grid of the columns of each sheet: ends first, then the stations that matter, then the widest gaps filled at round stations.
pub(super) fn columns(section: &Section, frames: &[(Frame, Scale, Scale)]) -> Vec<Vec<usize>> {
    // A low and its crest get their columns even where the fall between them finds no room to be written.
    let (near, pitch) = (pitch_mm(section, false), pitch_mm(section, true));
    frames
        .iter()
        .map(|(frame, across, _)| {
            let mut picked: Vec<usize> = Vec::new();
            let x = |i: usize| section.station_m.get(i).map_or(f64::NAN, |s| frame.x(*s));
            let on_sheet = |i: usize| {
                section
                    .station_m
                    .get(i)
                    .is_some_and(|s| *s >= frame.from_m - 1e-6 && *s <= frame.to_m + 1e-6)
            };
            let mut take = |i: usize, apart_mm: f64| {
                if on_sheet(i) && picked.iter().all(|p| (x(*p) - x(i)).abs() >= apart_mm) {
                    picked.push(i);
                }
            };
            let first = section
                .station_m
                .partition_point(|s| *s < frame.from_m - 1e-6);
            let last = section
                .station_m
                .partition_point(|s| *s <= frame.to_m + 1e-6)
                .saturating_sub(1);
            take(first, near);
            take(last, near);
            for station in &section.columns_m {
                take(nearest(section, *station), near);
            }
            let step = across.step_m(pitch * 1.3);
            let mut station = (frame.from_m / step).ceil() * step;
            while station < frame.to_m {
                take(nearest(section, station), pitch);
                station += step;
            }
            picked.sort_unstable();
            picked
        })
        .collect()
}

fn nearest(section: &Section, station_m: f64) -> usize {
    let above = section.station_m.partition_point(|s| *s < station_m);
    let off = |i: usize| {
        section
            .station_m
            .get(i)
            .map_or(f64::INFINITY, |s| (s - station_m).abs())
    };
    match above.checked_sub(1) {
        Some(below) if off(below) <= off(above) => below,
        _ => above,
    }
}

/// Rows, rules and the pipes' row.
pub(super) fn table(section: &Section, frame: &Frame, columns: &[usize]) -> Vec<Item> {
    let thin = Pen::new(Ink::PALE, 0.15);
    let mut items = Vec::new();
    let mut top = frame.bottom_mm + RULING_MM;
    let rule = |y: f64, pen| {
        Item::line(
            vec![(EDGE_MM, y), (frame.right_mm.max(frame.left_mm + 10.0), y)],
            pen,
        )
    };
    items.push(rule(top, Pen::new(Ink::BLACK, 0.3)));
    for row in &section.rows {
        let base = top + ROW_MM - 1.3;
        items.push(head(&row.head(), base, frame));
        if row.between {
            items.extend(between(section, row, frame, columns, base));
        } else {
            items.extend(columns.iter().filter_map(|&i| {
                let figure = row.figures.get(i).copied().flatten()?;
                let station = section.station_m.get(i)?;
                let words = row.write.figure(figure);
                Some(Item::Text(
                    Text::new((frame.x(*station), base), TYPE_MM, Role::Figure, words)
                        .align(Align::Middle),
                ))
            }));
        }
        top += ROW_MM;
        items.push(rule(top, thin));
    }
    if !section.zones.is_empty() {
        items.extend(zones(section, frame, top));
        top += ROW_MM;
        items.push(rule(top, Pen::new(Ink::BLACK, 0.3)));
    }
    items
}

fn head(words: &str, base: f64, frame: &Frame) -> Item {
    let room = frame.left_mm - EDGE_MM - 4.2;
    Item::Text(
        Text::new(
            (EDGE_MM, base),
            HEAD_MM,
            Role::Word,
            fitted(words, HEAD_MM, false, room),
        )
        .colour(Ink::GREY),
    )
}

fn between(section: &Section, row: &Row, frame: &Frame, columns: &[usize], base: f64) -> Vec<Item> {
    columns
        .windows(2)
        .filter_map(|pair| {
            let [a, b] = pair else { return None };
            let (s0, s1) = (section.station_m.get(*a)?, section.station_m.get(*b)?);
            let (f0, f1) = (
                row.figures.get(*a).copied().flatten()?,
                row.figures.get(*b).copied().flatten()?,
            );
            let words = row.write.figure((f0 - f1) / (s1 - s0));
            let room = (s1 - s0) * frame.mm_per_m;
            (text_width(&words, TYPE_MM, false) < room).then(|| {
                Item::Text(
                    Text::new(
                        (frame.x(0.5 * (s0 + s1)), base),
                        TYPE_MM,
                        Role::Figure,
                        words,
                    )
                    .align(Align::Middle),
                )
            })
        })
        .collect()
}

/// The pipes, each over its reach.
fn zones(section: &Section, frame: &Frame, top: f64) -> Vec<Item> {
    let base = top + ROW_MM - 1.3;
    let mut items = vec![head(&section.words.pipes, base, frame)];
    for zone in &section.zones {
        let (from, to) = (zone.from_m.max(frame.from_m), zone.to_m.min(frame.to_m));
        if to <= from {
            continue;
        }
        let (left, right) = (frame.x(from), frame.x(to));
        items.push(Item::line(
            vec![(right, top), (right, top + ROW_MM)],
            Pen::new(Ink::BLACK, 0.3),
        ));
        let room = right - left - 1.5;
        let words = zone
            .names
            .iter()
            .find(|n| text_width(n, TYPE_MM, false) <= room)
            .cloned()
            .or_else(|| zone.names.last().map(|n| fitted(n, TYPE_MM, false, room)))
            .filter(|n| text_width(n, TYPE_MM, false) <= room);
        if let Some(words) = words {
            items.push(Item::Text(
                Text::new((0.5 * (left + right), base), TYPE_MM, Role::Word, words)
                    .align(Align::Middle),
            ));
        }
    }
    items
}
