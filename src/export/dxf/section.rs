//! The longitudinal section: stations along, heights up, one to one.

use super::writer::{Drawing, Layer};
use crate::drawing::{LongSection, Trace};
use crate::route::interpolate;

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
fn layer(trace: Trace) -> Layer {
    match trace {
        Trace::Still => Layer::new("STANDING_WATER", 4),
        Trace::Running => Layer::new("HYDRAULIC_GRADE_LINE", 5),
        Trace::SurgeHigh => Layer::dashed("SURGE_HIGHEST", 1),
        Trace::SurgeLow => Layer::dashed("SURGE_LOWEST", 1),
        Trace::Rating => Layer::dashed("RATING", 3),
        Trace::Regraded => Layer::dashed("REGRADED", 2),
        Trace::Before => Layer::dashed("AS_IT_LAY_BEFORE", 8),
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
    for zone in &section.zones {
        let name = zone.names.first().map_or("", String::as_str);
        let middle = 0.5 * (zone.from_m + zone.to_m);
        let at = [along(middle), height(middle) - 6.0 * letter];
        drawing.text(CLASSES, at, letter, 0.0, name);
        for end in [zone.from_m, zone.to_m] {
            let places = [(end, height(end)), (end, height(end) - 6.0 * letter)];
            drawing.line(CLASSES, chain(&places));
        }
    }
    for tag in &section.tags {
        let layer = if tag.wanted { WANTED } else { MARKS };
        let (x, z) = (along(tag.station_m), height(tag.station_m));
        drawing.point(layer, [x, z, 0.0]);
        drawing.line(layer, [[x, z, 0.0], [x, z + 3.0 * letter, 0.0]]);
        drawing.text(layer, [x, z + 3.5 * letter], letter, 90.0, &tag.label);
    }
    let top = section
        .elevation_m
        .iter()
        .copied()
        .fold(f64::NEG_INFINITY, f64::max);
    let lines = [
        section.words.title.clone(),
        section.words.kind.clone(),
        section.words.verdict.clone(),
    ];
    let notes = section
        .notes
        .iter()
        .map(|(head, text)| format!("{head}: {text}"));
    for (text, i) in lines.into_iter().chain(notes).zip(0u8..) {
        let down = f64::from(i) * 2.0 * letter;
        let at = [along(first).min(along(last)), top + 60.0 * letter - down];
        drawing.text(TITLE, at, 1.2 * letter, 0.0, &text);
    }
    Some(drawing.bytes())
}
