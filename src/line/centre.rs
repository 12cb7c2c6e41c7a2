//! From what was surveyed to the pipe's centre: what lies between ground and centre, and reaches that do not follow the ground.

use super::{Laid, Reach};
use crate::heights::Heights;
use crate::pipe::Bed;
use crate::site::SurveyedLine;

/// How far the pipe's centre stands above what was surveyed, m, at a station.
fn above_m(of: SurveyedLine, reach: Option<&Reach>, laid: Option<&Laid>) -> f64 {
    let outer = reach.map_or(0.0, |r| r.pipe.outer_diameter_m) / 2.0;
    let inner = reach.map_or(0.0, |r| r.pipe.inner_diameter_m) / 2.0;
    let raised = laid
        .filter(|l| l.bed == Bed::Raised)
        .and_then(|l| l.height_m);
    match (of, laid.map(|l| l.bed)) {
        (SurveyedLine::PipeCentre, _) => raised.unwrap_or(0.0),
        (SurveyedLine::PipeTop, _) => raised.unwrap_or(-outer),
        (SurveyedLine::Invert, _) => raised.unwrap_or(inner),
        (SurveyedLine::TrenchBed, _) => raised.unwrap_or(outer),
        (SurveyedLine::Ground, Some(Bed::Buried)) => {
            -(laid.and_then(|l| l.cover_m).unwrap_or(0.0) + outer)
        }
        (SurveyedLine::Ground, _) => raised.unwrap_or(outer),
    }
}

/// Brings heights of what was surveyed to the pipe's centre, in the mean and in every draw, and lays spans straight.
pub(super) fn bring(heights: &mut Heights, of: SurveyedLine, reaches: &[Reach], laid: &[Laid]) {
    let station_m = heights.station_m.clone();
    let lift: Vec<f64> = station_m
        .iter()
        .map(|&s| {
            let reach = reaches.iter().find(|r| s <= r.to_m).or(reaches.last());
            let how = laid.iter().find(|l| s >= l.from_m && s <= l.to_m);
            above_m(of, reach, how)
        })
        .collect();
    let spans: Vec<(usize, usize)> = laid
        .iter()
        .filter(|l| matches!(l.bed, Bed::Span | Bed::Hung))
        .filter_map(|l| {
            let from = station_m.iter().position(|&s| s >= l.from_m - 0.02)?;
            let to = station_m.iter().rposition(|&s| s <= l.to_m + 0.02)?;
            (to > from + 1).then_some((from, to))
        })
        .collect();
    let apply = |values: &mut [f64]| {
        for (z, up) in values.iter_mut().zip(&lift) {
            *z += up;
        }
        for &(from, to) in &spans {
            straighten(values, &station_m, from, to);
        }
    };
    apply(&mut heights.mean_m);
    for draw in &mut heights.draws {
        apply(draw);
    }
    for &(from, to) in &spans {
        straighten(&mut heights.sd_m, &station_m, from, to);
        if let (Some(&from_m), Some(&to_m)) = (station_m.get(from), station_m.get(to)) {
            heights.backed.lay_straight(from_m, to_m);
        }
    }
}

/// Values straight between two places.
fn straighten(values: &mut [f64], station_m: &[f64], from: usize, to: usize) {
    let point = |i: usize, v: &[f64]| Some((*station_m.get(i)?, *v.get(i)?));
    let (Some((s0, z0)), Some((s1, z1))) = (point(from, values), point(to, values)) else {
        return;
    };
    for (z, s) in values.iter_mut().zip(station_m).take(to).skip(from + 1) {
        *z = z0 + (z1 - z0) * (s - s0) / (s1 - s0);
    }
}
