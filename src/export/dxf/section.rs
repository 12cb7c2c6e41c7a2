//! The longitudinal section: stations along, heights up, one to one.

use super::drawing::{Drawing, Layer};
use super::label::{free, room, size, write};
use crate::drawing::{LabelRequest, LongSection, SectionLine, Tag, spread};
use crate::numeric::series::interpolate;

const PIPE: Layer = Layer::new("PIPE", 7);
const DOUBT: Layer = Layer::dashed("DOUBT_19_TIMES_IN_20", 8);
const GROUND: Layer = Layer::new("GROUND", 34);
const CLIMBS: Layer = Layer::new("CLIMBS", 1);
const MAY_CLIMB: Layer = Layer::dashed("MAY_CLIMB", 30);
const MARKS: Layer = Layer::new("MARKS", 5);
const WANTED: Layer = Layer::new("MARKS_WANTED", 6);
const CLASSES: Layer = Layer::new("PIPE_CLASSES", 3);
const TITLE: Layer = Layer::new("TITLE", 7);

/// The layer of a line over the pipe.
fn layer(trace: SectionLine) -> Layer {
    match trace {
        SectionLine::Still => Layer::new("STANDING_WATER", 4),
        SectionLine::Running => Layer::new("HYDRAULIC_GRADE_LINE", 5),
        SectionLine::SurgeHigh => Layer::dashed("SURGE_HIGHEST", 1),
        SectionLine::SurgeLow => Layer::dashed("SURGE_LOWEST", 1),
        SectionLine::Rating => Layer::dashed("RATING", 3),
        SectionLine::Regraded => Layer::dashed("REGRADED", 2),
        SectionLine::Before => Layer::dashed("AS_IT_LAY_BEFORE", 8),
    }
}

/// profile.dxf of a section; `None` where it has no line.
pub fn of(section: &LongSection) -> Option<Vec<u8>> {
    if section.station_m.len() < 2 {
        return None;
    }
    let mut drawing = Drawing::new(section.units);
    // The pegs, where the user has them: what stands on the hill.
    let along = |station: f64| interpolate(&section.station_m, &section.pegs_m, station);
    let height = |station: f64| interpolate(&section.station_m, &section.elevation_m, station);
    let chain = |places: &[(f64, f64)]| -> Vec<[f64; 3]> {
        places.iter().map(|&(s, z)| [along(s), z, 0.0]).collect()
    };
    let with = |values: &dyn Fn(usize) -> Option<f64>| -> Vec<(f64, f64)> {
        let stations = section.station_m.iter().enumerate();
        stations
            .filter_map(|(i, &s)| Some((s, values(i)?)))
            .collect()
    };
    let mean = |i: usize| section.elevation_m.get(i).copied();
    drawing.line(PIPE, chain(&with(&mean)));
    if section.sd_m.iter().any(|sd| *sd > 0.0) {
        for sign in [-2.0, 2.0] {
            let off = |i: usize| Some(mean(i)? + sign * section.sd_m.get(i)?);
            drawing.line(DOUBT, chain(&with(&off)));
        }
    }
    let ground = |i: usize| section.ground_m.get(i).copied().flatten();
    drawing.line(GROUND, chain(&with(&ground)));
    for series in &section.series {
        for piece in &series.chains_m {
            drawing.line(layer(series.trace), chain(piece));
        }
    }
    for hump in &section.humps {
        let (layer, from, to) = if hump.certain {
            (CLIMBS, hump.low_m, hump.crest_m)
        } else {
            (MAY_CLIMB, hump.reach_m.0, hump.reach_m.1)
        };
        let inner = section.station_m.iter().filter(|s| **s > from && **s < to);
        let stations = std::iter::once(&from)
            .chain(inner)
            .chain(std::iter::once(&to));
        let places: Vec<(f64, f64)> = stations.map(|&s| (s, height(s))).collect();
        drawing.line(layer, chain(&places));
    }
    // A letter as high as a hundredth of the line is long, within what can be read.
    let first = section.station_m.first().copied().unwrap_or(0.0);
    let last = section.station_m.last().copied().unwrap_or(0.0);
    let letter = ((last - first) / 250.0).clamp(0.2, 10.0);
    let mut taken = Vec::new();
    for zone in &section.zones {
        let name = zone.names.first().map_or("", String::as_str);
        let middle = 0.5 * (zone.from_m + zone.to_m);
        let size = size(name, letter);
        // short zones one after the other: each name on the first line below that is free
        let lines = (0_u16..1000).map(|line| 6.0 * letter + 2.0 * letter * f64::from(line));
        let rooms = lines.map(|down| {
            let left = along(middle) - 0.5 * size.0;
            room((left, down - height(middle) - letter), size)
        });
        let mut rooms = rooms.filter(|room| free(room, &taken, letter));
        if let Some(room) = rooms.next() {
            write(&mut drawing, CLASSES, &room, letter, name);
            taken.push(room);
        }
        for end in [zone.from_m, zone.to_m] {
            let places = [(end, height(end)), (end, height(end) - 6.0 * letter)];
            drawing.line(CLASSES, chain(&places));
        }
    }
    let mut tags: Vec<&Tag> = section.tags.iter().collect();
    tags.sort_by(|a, b| along(a.station_m).total_cmp(&along(b.station_m)));
    let wishes: Vec<LabelRequest> = tags
        .iter()
        .map(|t| LabelRequest {
            at_mm: along(t.station_m),
            room_mm: 1.7 * letter,
        })
        .collect();
    let all: f64 = wishes.iter().map(|w| w.room_mm).sum();
    let ends = (wishes.first(), wishes.last());
    let places = match ends {
        (Some(a), Some(b)) => spread(&wishes, a.at_mm - all, b.at_mm + all).unwrap_or_default(),
        _ => Vec::new(),
    };
    for (tag, place) in tags.iter().zip(places) {
        let layer = if tag.wanted { WANTED } else { MARKS };
        let (x, z) = (along(tag.station_m), height(tag.station_m));
        let foot = z + 5.0 * letter;
        drawing.point(layer, [x, z, 0.0]);
        let leader = [[x, z, 0.0], [x, z + 3.0 * letter, 0.0], [place, foot, 0.0]];
        drawing.line(layer, leader);
        let at = [place + 0.4 * letter, foot + 0.5 * letter];
        drawing.text(layer, at, letter, 90.0, &tag.label);
    }
    let top = drawing.top_m();
    let lines = [
        section.words.title.clone(),
        section.words.kind.clone(),
        section.words.verdict.clone(),
    ];
    let notes = section
        .notes
        .iter()
        .map(|(head, text)| format!("{head}: {text}"));
    let texts: Vec<String> = lines.into_iter().chain(notes).collect();
    for (text, up) in texts.iter().rev().zip(2_u8..) {
        let at = [
            along(first).min(along(last)),
            top + 2.0 * letter * f64::from(up),
        ];
        drawing.text(TITLE, at, 1.2 * letter, 0.0, text);
    }
    Some(drawing.bytes())
}
