//! The plan: east along, north up, from the first point, with the height of each point.

use super::drawing::{Drawing, Layer};
use super::label::{free, grown, room, size, write};
use crate::drawing::{PlanView, TextBox, crosses, room_beside};
use crate::numeric::series::interpolate;

const PIPE: Layer = Layer::new("PIPE", 7);
const CLIMBS: Layer = Layer::new("CLIMBS", 1);
const MAY_CLIMB: Layer = Layer::dashed("MAY_CLIMB", 30);
const BENDS: Layer = Layer::new("BENDS", 3);
const MARKS: Layer = Layer::new("MARKS", 5);
const WANTED: Layer = Layer::new("MARKS_WANTED", 6);
const TITLE: Layer = Layer::new("TITLE", 7);

/// plan.dxf of a view; `heights` are stations and heights of the pipe's centre, m.
pub fn of(view: &PlanView, heights: (&[f64], &[f64])) -> Vec<u8> {
    let mut drawing = Drawing::new(view.units);
    let axis =
        |pick: fn(&(f64, f64)) -> f64| -> Vec<f64> { view.east_north_m.iter().map(pick).collect() };
    let (east, north) = (axis(|p| p.0), axis(|p| p.1));
    let at = |station: f64| -> [f64; 3] {
        [
            interpolate(&view.station_m, &east, station),
            interpolate(&view.station_m, &north, station),
            interpolate(heights.0, heights.1, station),
        ]
    };
    drawing.line(PIPE, view.station_m.iter().map(|&s| at(s)));
    for reach in &view.reaches {
        let layer = if reach.certain { CLIMBS } else { MAY_CLIMB };
        let inner = view
            .station_m
            .iter()
            .copied()
            .filter(|s| *s > reach.from_m && *s < reach.to_m);
        let stations = std::iter::once(reach.from_m)
            .chain(inner)
            .chain(std::iter::once(reach.to_m));
        drawing.line(layer, stations.map(at));
    }
    let length = match (view.station_m.first(), view.station_m.last()) {
        (Some(first), Some(last)) => last - first,
        _ => 0.0,
    };
    let letter = (length / 250.0).clamp(0.2, 10.0);
    let mut labels: Vec<(Layer, f64, &str)> = Vec::new();
    labels.extend(
        view.bends
            .iter()
            .map(|b| (BENDS, b.station_m, b.label.as_str())),
    );
    labels.extend(view.tags.iter().map(|t| {
        let layer = if t.wanted { WANTED } else { MARKS };
        (layer, t.station_m, t.label.as_str())
    }));
    // Rooms are sought as on paper, where down is more.
    let line: Vec<(f64, f64)> = view.east_north_m.iter().map(|&(x, y)| (x, -y)).collect();
    let mut taken: Vec<TextBox> = Vec::new();
    for (layer, station, label) in labels {
        let [x, y, z] = at(station);
        drawing.point(layer, [x, y, z]);
        let size = size(label, letter);
        let rings = (0_u16..400).map(|ring| 1.5 * letter * f64::from(ring));
        let fits = |room: &TextBox| {
            free(room, &taken, letter) && !crosses(&line, &grown(room, 0.2 * letter))
        };
        // Four hundred rings hold more labels than there may be marks and bends.
        let beside = (room((x + letter, -y), size), 0.0);
        let (room, off) = room_beside((x, -y), size, letter, rings, fits).unwrap_or(beside);
        if off > 0.0 {
            let to = (
                x.clamp(room.left, room.right),
                (-y).clamp(room.top, room.bottom),
            );
            drawing.line(layer, [[x, y, z], [to.0, -to.1, z]]);
        }
        write(&mut drawing, layer, &room, letter, label);
        taken.push(room);
    }
    let lowest = taken
        .iter()
        .map(|t| -t.bottom)
        .fold(f64::INFINITY, f64::min);
    let least = |values: &[f64]| values.iter().copied().fold(f64::INFINITY, f64::min);
    let lines = [
        view.words.title.clone(),
        view.words.kind.clone(),
        view.words.verdict.clone(),
    ];
    let notes = view
        .notes
        .iter()
        .map(|(head, text)| format!("{head}: {text}"));
    for (text, i) in lines.into_iter().chain(notes).zip(0u8..) {
        let down = (f64::from(i) + 4.0) * 2.0 * letter;
        let corner = [least(&east), least(&north).min(lowest) - down];
        drawing.text(TITLE, corner, 1.2 * letter, 0.0, &text);
    }
    drawing.bytes()
}
