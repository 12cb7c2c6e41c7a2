//! Lines cut to a rectangle, and freed of points that no pen would show.

use super::item::{Box, PaperPoint};
use super::profile_frame::Frame;

/// A line through stations and heights cut to the chart.
pub(super) fn clipped(points: &[(f64, f64)], frame: &Frame) -> Vec<Vec<PaperPoint>> {
    let area = frame.area();
    let mut out: Vec<Vec<PaperPoint>> = Vec::new();
    let mut chain: Vec<PaperPoint> = Vec::new();
    for pair in points.windows(2) {
        let [a, b] = pair else { continue };
        let (p, q) = (frame.at(a.0, a.1), frame.at(b.0, b.1));
        match cut(p, q, &area) {
            Some((from, to)) => {
                let goes_on = chain.last().is_some_and(|l: &PaperPoint| {
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
pub(super) fn cut(p: PaperPoint, q: PaperPoint, area: &Box) -> Option<(PaperPoint, PaperPoint)> {
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

/// The widest a point left out may lie off the line that is drawn, mm: less than a pen of a fifth of a millimetre shows.
const UNSEEN_MM: f64 = 0.015;

/// Points that no pen would show are left out.
///
/// Method: D. H. Douglas and T. K. Peucker, Algorithms for the reduction of the number of points required to represent a digitized line, Cartographica 10, 1973.
pub(super) fn thinned(points: &[PaperPoint]) -> Vec<PaperPoint> {
    let mut kept: Vec<bool> = vec![false; points.len()];
    if let [first, .., last] = kept.as_mut_slice() {
        (*first, *last) = (true, true);
    }
    let mut stretches = vec![(0, points.len().saturating_sub(1))];
    while let Some((from, to)) = stretches.pop() {
        let (Some(&a), Some(&b)) = (points.get(from), points.get(to)) else {
            continue;
        };
        let furthest = points
            .iter()
            .enumerate()
            .take(to)
            .skip(from + 1)
            .map(|(i, &p)| (i, off(p, a, b)))
            .fold((from, UNSEEN_MM * UNSEEN_MM), |most, this| {
                if this.1 > most.1 { this } else { most }
            });
        if furthest.0 > from
            && let Some(keep) = kept.get_mut(furthest.0)
        {
            *keep = true;
            stretches.extend([(from, furthest.0), (furthest.0, to)]);
        }
    }
    points
        .iter()
        .zip(kept)
        .filter_map(|(&p, keep)| keep.then_some(p))
        .collect()
}

/// Square of the distance of a point from a stretch.
fn off(p: PaperPoint, a: PaperPoint, b: PaperPoint) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let long_2 = dx * dx + dy * dy;
    let t = if long_2 > 0.0 {
        (((p.0 - a.0) * dx + (p.1 - a.1) * dy) / long_2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let (x, y) = (a.0 + t * dx - p.0, a.1 + t * dy - p.1);
    x * x + y * y
}
