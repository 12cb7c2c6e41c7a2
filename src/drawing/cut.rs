//! Lines cut to a rectangle, and freed of points that no pen would show.

use super::item::{Box, PaperPoint};
use super::section_frame::Frame;

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

/// The part of an area inside a rectangle.
///
/// Method: I. E. Sutherland and G. W. Hodgman, Reentrant polygon clipping, Communications of the ACM 17, 1974.
pub(super) fn area_cut(outline: &[PaperPoint], area: &Box) -> Vec<PaperPoint> {
    // How far inside each side a point lies.
    let sides: [&dyn Fn(PaperPoint) -> f64; 4] = [
        &|p| p.0 - area.left,
        &|p| area.right - p.0,
        &|p| p.1 - area.top,
        &|p| area.bottom - p.1,
    ];
    sides.iter().fold(outline.to_vec(), |points, inside| {
        let before = points.iter().cycle().skip(points.len().saturating_sub(1));
        let pairs = before.zip(&points).map(|(&p, &q)| (p, q));
        pairs
            .flat_map(|(p, q)| {
                let (from, to) = (inside(p), inside(q));
                let t = from / (from - to);
                let crosses = (from < 0.0) != (to < 0.0);
                let meets = crosses.then_some((p.0 + t * (q.0 - p.0), p.1 + t * (q.1 - p.1)));
                meets.into_iter().chain((to >= 0.0).then_some(q))
            })
            .collect()
    })
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

#[cfg(test)]
mod tests {
    use super::*;

    const AREA: Box = Box {
        left: 0.0,
        top: 0.0,
        right: 10.0,
        bottom: 5.0,
    };

    /// Area of a simple outline (shoelace formula).
    fn size(outline: &[PaperPoint]) -> f64 {
        let next = outline.iter().cycle().skip(1);
        let twice: f64 = outline
            .iter()
            .zip(next)
            .map(|(a, b)| a.0 * b.1 - b.0 * a.1)
            .sum();
        0.5 * twice.abs()
    }

    #[test]
    fn an_area_that_leaves_the_chart_keeps_its_corners() {
        // a band that rises out of the chart on the left and falls out of it on the right
        let band = [(-2.0, -3.0), (12.0, 4.0), (12.0, 9.0), (-2.0, 2.0)];
        let cut = area_cut(&band, &AREA);
        // above: y = x / 2 - 2, from (4, 0) to (10, 3); below: y = x / 2 + 3, from (0, 3) to (4, 5)
        let left_out = 0.5 * 6.0 * 3.0 + 0.5 * 4.0 * 2.0;
        assert!((size(&cut) - (50.0 - left_out)).abs() < 1e-9, "{cut:?}");
        assert!(
            cut.contains(&(0.0, 0.0)) && cut.contains(&(10.0, 5.0)),
            "{cut:?}"
        );
    }

    #[test]
    fn an_area_inside_stays_and_one_outside_goes() {
        let inside = [(1.0, 1.0), (2.0, 1.0), (2.0, 2.0)];
        assert_eq!(area_cut(&inside, &AREA), inside);
        assert_eq!(
            area_cut(&[(20.0, 1.0), (21.0, 1.0), (21.0, 2.0)], &AREA),
            []
        );
    }
}
