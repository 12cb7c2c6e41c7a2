//! The table under the axis: a column a chosen station.

use super::advance::{fitted, text_width};
use super::frame::{HEAD_MM, TYPE_MM};
use super::ink::{Ink, Pen};
use super::item::{Align, Item, Role, Text};
use super::label::{LabelRequest, spread};
use super::paper::EDGE_MM;
use super::scale::DrawingScale;
use super::section::{LongSection, TableRow};
use super::section_frame::{Frame, ROW_MM, RULING_MM};

/// Least distance of two columns, mm: the widest figure and a gap; with what stands between them or without.
fn pitch_mm(section: &LongSection, with_between: bool) -> f64 {
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
fn falls(section: &LongSection, row: &TableRow) -> Vec<f64> {
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

/// A column of the table: a station of the grid, and where its figures stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TableColumn {
    /// Index into the grid.
    pub index: usize,
    /// Its station, m.
    pub station_m: f64,
    /// Middle of its figures, mm: under the station, or beside it where a low and its crest stand closer than their figures.
    pub x_mm: f64,
}

/// Farthest that a column is moved from its station, mm.
const ASIDE_MM: f64 = 9.0;

/// The columns of each sheet: ends, then lows and crests of what climbs, which others make room for, then the stations that matter, then the widest gaps filled at
/// round stations.
pub(super) fn columns(
    section: &LongSection,
    frames: &[(Frame, DrawingScale, DrawingScale)],
) -> Vec<Vec<TableColumn>> {
    let (near, pitch) = (pitch_mm(section, false), pitch_mm(section, true));
    frames
        .iter()
        .map(|(frame, across, _)| {
            let mut picked = Picked {
                section,
                frame,
                wishes: Vec::new(),
            };
            let first = section
                .station_m
                .partition_point(|s| *s < frame.from_m - 1e-6);
            let last = section
                .station_m
                .partition_point(|s| *s <= frame.to_m + 1e-6)
                .saturating_sub(1);
            picked.take(first, near);
            picked.take(last, near);
            for hump in section.humps.iter().filter(|h| h.certain) {
                // So far apart that the rise between them finds room to be written.
                let (low, crest) = (nearest(section, hump.low_m), nearest(section, hump.crest_m));
                let room = near.max(between_mm(section, low, crest) + 1.2);
                picked.make_room(low, room);
                picked.make_room(crest, room);
            }
            for zone in &section.zones {
                picked.make_room(nearest(section, zone.to_m), near);
            }
            for station in &section.columns_m {
                picked.take(nearest(section, *station), near);
            }
            let step = across.step_m(pitch * 1.3);
            let mut station = (frame.from_m / step).ceil() * step;
            while station < frame.to_m {
                picked.take(nearest(section, station), pitch);
                station += step;
            }
            picked.columns()
        })
        .collect()
}

/// Width of what is written between two columns, mm.
fn between_mm(section: &LongSection, from: usize, to: usize) -> f64 {
    let words = section.rows.iter().filter(|r| r.between).filter_map(|row| {
        let figure = |i: usize| row.figures.get(i).copied().flatten();
        let run_m = section.station_m.get(to)? - section.station_m.get(from)?;
        Some(row.write.figure((figure(from)? - figure(to)?) / run_m))
    });
    words
        .map(|w| text_width(&w, TYPE_MM, false))
        .fold(0.0, f64::max)
}

/// Columns picked so far, each with the room it takes.
struct Picked<'a> {
    section: &'a LongSection,
    frame: &'a Frame,
    wishes: Vec<(usize, f64)>,
}

impl Picked<'_> {
    fn x(&self, index: usize) -> f64 {
        let station = self.section.station_m.get(index);
        station.map_or(f64::NAN, |s| self.frame.x(*s))
    }

    fn on_sheet(&self, index: usize) -> bool {
        self.section
            .station_m
            .get(index)
            .is_some_and(|s| *s >= self.frame.from_m - 1e-6 && *s <= self.frame.to_m + 1e-6)
    }

    /// Where columns stand that wish for their stations; `None` where they find no room.
    fn placed(&self, wishes: &[(usize, f64)]) -> Option<Vec<TableColumn>> {
        let mut wishes = wishes.to_vec();
        wishes.sort_by_key(|(i, _)| *i);
        let ends = |w: Option<&(usize, f64)>| w.map_or(0.0, |(_, room)| room / 2.0);
        let (from, to) = (
            self.frame.left_mm - ends(wishes.first()),
            self.frame.right_mm + ends(wishes.last()),
        );
        let at: Vec<LabelRequest> = wishes
            .iter()
            .map(|(i, room)| LabelRequest {
                at_mm: self.x(*i),
                room_mm: *room,
            })
            .collect();
        let places = spread(&at, from, to.max(from))?;
        Some(
            wishes
                .iter()
                .zip(places)
                .filter_map(|((index, _), x_mm)| {
                    Some(TableColumn {
                        index: *index,
                        station_m: *self.section.station_m.get(*index)?,
                        x_mm,
                    })
                })
                .collect(),
        )
    }

    fn columns(&self) -> Vec<TableColumn> {
        self.placed(&self.wishes).unwrap_or_default()
    }

    /// Takes a column where it finds its room under its own station.
    fn take(&mut self, index: usize, room_mm: f64) {
        let x = self.x(index);
        let free = |c: &TableColumn| {
            let taken = self.wishes.iter().find(|(i, _)| *i == c.index);
            let apart = taken.map_or(room_mm, |(_, room)| room_mm.max(0.5 * (room + room_mm)));
            (c.x_mm - x).abs() >= apart - 1e-9
        };
        if self.on_sheet(index) && self.columns().iter().all(free) {
            self.wishes.push((index, room_mm));
        }
    }

    /// Takes a column and lets its neighbours move a little to make room for it.
    fn make_room(&mut self, index: usize, room_mm: f64) {
        if !self.on_sheet(index) || self.wishes.iter().any(|(i, _)| *i == index) {
            return;
        }
        let mut wishes = self.wishes.clone();
        wishes.push((index, room_mm));
        let near = |c: &TableColumn| (c.x_mm - self.x(c.index)).abs() <= ASIDE_MM;
        if self.placed(&wishes).is_some_and(|all| all.iter().all(near)) {
            self.wishes = wishes;
        }
    }
}

fn nearest(section: &LongSection, station_m: f64) -> usize {
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
pub(super) fn table(section: &LongSection, frame: &Frame, columns: &[TableColumn]) -> Vec<Item> {
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
    items.push(asides(section, frame, columns, top));
    for row in &section.rows {
        let base = top + ROW_MM - 1.3;
        items.push(head(&row.head(), base, frame));
        if row.between {
            items.extend(between(section, row, columns, base));
        } else {
            items.extend(columns.iter().filter_map(|column| {
                let figure = row.figures.get(column.index).copied().flatten()?;
                let words = row.write.figure(figure);
                Some(Item::Text(
                    Text::new((column.x_mm, base), TYPE_MM, Role::Figure, words)
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

/// Hairs from the stations to columns that had to stand beside them.
fn asides(section: &LongSection, frame: &Frame, columns: &[TableColumn], top: f64) -> Item {
    let hairs = columns
        .iter()
        .filter_map(|c| {
            let x = frame.x(*section.station_m.get(c.index)?);
            let foot = frame.bottom_mm + RULING_MM - 1.0;
            ((x - c.x_mm).abs() > 0.3).then(|| vec![(x, foot), (c.x_mm, top)])
        })
        .collect();
    Item::lines(hairs, Pen::new(Ink::GREY, 0.15))
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

fn between(section: &LongSection, row: &TableRow, columns: &[TableColumn], base: f64) -> Vec<Item> {
    columns
        .windows(2)
        .filter_map(|pair| {
            let [a, b] = pair else { return None };
            let (s0, s1) = (
                section.station_m.get(a.index)?,
                section.station_m.get(b.index)?,
            );
            let (f0, f1) = (
                row.figures.get(a.index).copied().flatten()?,
                row.figures.get(b.index).copied().flatten()?,
            );
            let words = row.write.figure((f0 - f1) / (s1 - s0));
            let room = b.x_mm - a.x_mm;
            (text_width(&words, TYPE_MM, false) < room).then(|| {
                Item::Text(
                    Text::new(
                        (0.5 * (a.x_mm + b.x_mm), base),
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
fn zones(section: &LongSection, frame: &Frame, top: f64) -> Vec<Item> {
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
