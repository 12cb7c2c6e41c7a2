//! Lines cut to a rectangle, and freed of points that no pen would show.

use super::item::{At, Box};
use super::profile::Frame;

/// A line through stations and heights cut to the chart.
pub(super) fn clipped(points: &[(f64, f64)], frame: &Frame) -> Vec<Vec<At>> {
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
pub(super) fn cut(p: At, q: At, area: &Box) -> Option<(At, At)> {
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
pub(super) fn thinned(points: &[At]) -> Vec<At> {
    use geo::{LineString, Simplify};
    if points.len() < 3 {
        return points.to_vec();
    }
    let line: LineString<f64> = points.to_vec().into();
    line.simplify(0.015).0.iter().map(|c| (c.x, c.y)).collect()
}
