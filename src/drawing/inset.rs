//! A rising section by itself, at a scale at which half a metre is seen.

use super::advance::fitted;
use super::cut::thinned;
use super::frame::{HEAD_MM, TYPE_MM};
use super::ink::{Ink, Pen};
use super::item::{Align, Box, Item, PaperPoint, Role, Text};
use super::profile_chart::{doubt, ground, pipe, pocket};
use super::scale::{round_step, ruling, unit_m};
use super::section::{ClimbReach, LongSection};
use super::section_frame::Frame;

/// Heights that an inset spans at least, m: half a metre is then a sixth of it.
const LEAST_M: f64 = 3.0;

/// Room of the words over it, mm.
const HEAD_ROOM_MM: f64 = 4.6;

/// The stretch that an inset of a hump shows, m: the hump with a quarter of its length at either side.
pub(super) fn stretch_m(section: &LongSection, hump: &ClimbReach) -> (f64, f64) {
    let (from, to) = if hump.certain {
        (hump.low_m, hump.end_m)
    } else {
        hump.reach_m
    };
    let beside = (0.25 * (to - from)).max(2.0);
    let (first, last) = (section.first_m(), section.first_m() + section.length_m());
    ((from - beside).max(first), (to + beside).min(last))
}

/// Size of an inset on the sheet, mm.
const ON_SHEET_MM: (f64, f64) = (50.0, 21.0);
/// Room that marks under the pipe take, mm.
const MARKS_MM: f64 = 4.4;

/// Room over a pipe that nothing stands on, mm.
const BARE_MM: f64 = 1.2;

/// Insets in the free corner under the pipe, from the left, as many as have room without hiding it.
pub(super) fn on_sheet(section: &LongSection, frame: &Frame) -> Vec<Item> {
    placed(section, frame)
        .into_iter()
        .flat_map(|(hump, room)| inset(section, hump, room, HEAD_MM))
        .collect()
}

pub(super) fn placed<'a>(section: &'a LongSection, frame: &Frame) -> Vec<(&'a ClimbReach, Box)> {
    let here = |h: &&ClimbReach| h.crest_m > frame.from_m - 1e-6 && h.crest_m < frame.to_m + 1e-6;
    let mut out: Vec<(&ClimbReach, Box)> = Vec::new();
    // What surely rises comes first.
    let mut humps: Vec<&ClimbReach> = section.humps.iter().filter(here).collect();
    humps.sort_by_key(|h| !h.certain);
    for hump in humps {
        let free = |room: &Box| !out.iter().any(|(_, taken)| taken.meets(room));
        match rooms(frame).find(|r| free(r) && is_clear(section, frame, r)) {
            Some(room) => out.push((hump, room)),
            None => break,
        }
    }
    out
}

/// Where an inset may be: under the pipe from the left, then over it from the right.
fn rooms(frame: &Frame) -> impl Iterator<Item = Box> {
    let (wide, high) = ON_SHEET_MM;
    let (first, last) = (frame.left_mm + 2.0, frame.right_mm - 2.0 - wide);
    let steps = |from: f64, by: f64| {
        std::iter::successors(Some(from), move |x| Some(x + by))
            .take_while(move |x| *x >= first - 1e-9 && *x <= last + 1e-9)
    };
    let (under, over) = (frame.bottom_mm - 1.5 - high, frame.top_mm + 1.5);
    let at = move |(left, top): (f64, f64)| Box {
        left,
        top,
        right: left + wide,
        bottom: top + high,
    };
    steps(first, 2.0)
        .map(move |x| (x, under))
        .chain(steps(last, -2.0).map(move |x| (x, over)))
        .map(at)
}

/// Whether an inset there hides neither the pipe, nor a mark, nor a leader from a mark up to its label.
fn is_clear(section: &LongSection, frame: &Frame, room: &Box) -> bool {
    let near = |s: f64| {
        let x = frame.x(s);
        x > room.left - 2.0 && x < room.right + 2.0
    };
    let over = room.top < frame.bottom_mm - 3.0 - ON_SHEET_MM.1;
    let pipe = section
        .station_m
        .iter()
        .zip(&section.elevation_m)
        .filter(|(s, _)| near(**s))
        .all(|(_, z)| {
            let y = frame.y(*z);
            if over {
                y - BARE_MM > room.bottom
            } else {
                y + MARKS_MM < room.top
            }
        });
    let crossed = |t: &super::section::Tag| {
        near(t.station_m) || t.to_m.is_some_and(|to| near(0.5 * (t.station_m + to)))
    };
    pipe && !(over && section.tags.iter().any(crossed))
}

/// The inset in its box: words, ground, pipe with its uncertainty, the air, a bar of height.
pub(super) fn inset(
    section: &LongSection,
    hump: &ClimbReach,
    room: Box,
    type_mm: f64,
) -> Vec<Item> {
    let (from_m, to_m) = stretch_m(section, hump);
    if to_m <= from_m {
        return Vec::new();
    }
    let inside = |s: f64| s >= from_m - 1e-6 && s <= to_m + 1e-6;
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    let mut take = |z: f64| {
        low = low.min(z);
        high = high.max(z);
    };
    take(section.elevation_at(from_m));
    take(section.elevation_at(to_m));
    for (s, z) in section.station_m.iter().zip(&section.elevation_m) {
        if inside(*s) {
            take(*z);
        }
    }
    let span = (1.15 * (high - low)).max(LEAST_M);
    let top = room.top + HEAD_ROOM_MM * type_mm / TYPE_MM;
    let frame = Frame {
        left_mm: room.left,
        right_mm: room.right,
        top_mm: top,
        bottom_mm: room.bottom,
        from_m,
        to_m,
        base_m: 0.5 * (low + high - span),
        mm_per_m: (room.right - room.left) / (to_m - from_m),
        up_mm_per_m: (room.bottom - top) / span,
    };
    let mut items = vec![Item::rectangle(
        room,
        Some(Pen::new(Ink::BLACK, 0.25)),
        Some(Ink::WHITE),
    )];
    items.extend(doubt(section, &frame));
    items.extend(pocket(section, hump, &frame));
    items.extend(ground(section, &frame));
    items.extend(pipe(section, &frame));
    items.extend(bar(section, &frame, type_mm));
    items.push(Item::Text(Text::new(
        (room.left + 1.0, top - 0.3 * type_mm),
        type_mm,
        Role::Figure,
        fitted(&hump.label, type_mm, false, room.right - room.left - 2.0),
    )));
    items
}

/// A standing bar of half a metre or more: what a height is in the inset. In the upper right corner, where the pipe has come down again.
fn bar(section: &LongSection, frame: &Frame, type_mm: f64) -> Vec<Item> {
    let unit = unit_m(section.units);
    let step_m = round_step(6.0 / frame.up_mm_per_m / unit) * unit;
    let long = step_m * frame.up_mm_per_m;
    let (x, y) = (frame.right_mm - 1.8, frame.top_mm + 1.2 + long);
    let ends: Vec<Vec<PaperPoint>> = vec![
        vec![(x - 0.8, y), (x + 0.8, y)],
        vec![(x, y), (x, y - long)],
        vec![(x - 0.8, y - long), (x + 0.8, y - long)],
    ];
    let size = type_mm.min(HEAD_MM.max(0.8 * type_mm));
    vec![
        Item::lines(
            ends.iter().map(|c| thinned(c)).collect(),
            Pen::new(Ink::BLACK, 0.3),
        ),
        Item::Text(
            Text::new(
                (x - 1.2, y - 0.5 * long + 0.35 * size),
                size,
                Role::Ruling,
                format!(
                    "{} {}",
                    ruling(step_m, step_m, section.units),
                    section.words.unit
                ),
            )
            .align(Align::End),
        ),
    ]
}
