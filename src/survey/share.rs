//! Points that lie closer than their doubt: the error of a height is shared with its neighbours, as far as the heights themselves show.
//!
//! A list with a point each metre that falls evenly cannot have an error of 2 cm anew in each point: it would be seen. What the points scatter against
//! the straight line through their neighbours is what is their own; the rest of the stated doubt is one error that neighbours share (the same set-up,
//! the same pole, the same sky), which changes slowly along the line. The doubt of each height stays what it was.

use crate::numeric::math;
use crate::reading::BookPoint;

/// Nodes of the shared error lie so far apart at least, m: neighbours nearer than this share it (our judgement).
const SHARED_OVER_M: f64 = 25.0;
/// The same of heights by latitude and longitude, m: a receiver's error drifts over some minutes of walking (our judgement).
const DRIFT_OVER_M: f64 = 100.0;
/// What is always a point's own, m: the foot of a staff or pole on ground.
const OWN_M: f64 = 0.001;
/// Fewer neighbours than this show no scatter.
const LEAST: usize = 12;
/// Most values of all factors together: what each draw of the line costs.
const MOST_VALUES: usize = 500_000;

/// Where a point stands along the line, its height and its doubt.
#[derive(Debug, Clone, Copy)]
pub(super) struct PointAlong {
    pub(super) m: f64,
    pub(super) height_m: f64,
    pub(super) sd_m: f64,
}

/// Splits the doubt of points: leaves in each what is its own, and gives the factors that neighbours share. `along` has a place for each point with a height.
pub(super) fn split(
    points: &mut [BookPoint],
    along: &[Option<PointAlong>],
    by_receiver: bool,
) -> Vec<Vec<f64>> {
    let on_line: Vec<PointAlong> = along.iter().copied().flatten().collect();
    let Some(own_m) = own(&on_line) else {
        return Vec::new();
    };
    if on_line.iter().all(|p| p.sd_m <= own_m) {
        return Vec::new();
    }
    let length = on_line.last().map_or(0.0, |p| p.m) - on_line.first().map_or(0.0, |p| p.m);
    let apart = if by_receiver {
        DRIFT_OVER_M
    } else {
        SHARED_OVER_M
    };
    let most = (MOST_VALUES / points.len().max(1)).max(2);
    let spans = ((length / apart).ceil().max(1.0)).min((most - 1) as f64) as usize;
    let begin = on_line.first().map_or(0.0, |p| p.m);
    let step = (length / spans as f64).max(1e-9);
    let mut factors = vec![vec![0.0; points.len()]; spans + 1];
    for (i, (point, place)) in points.iter_mut().zip(along).enumerate() {
        let Some(place) = place.filter(|p| p.sd_m > own_m) else {
            continue;
        };
        let shared = (place.sd_m * place.sd_m - own_m * own_m).sqrt();
        point.sd_m = own_m;
        let t = ((place.m - begin) / step).clamp(0.0, spans as f64);
        for (k, factor) in factors.iter_mut().enumerate() {
            let weight = hat(t - k as f64);
            if let Some(value) = factor.get_mut(i).filter(|_| weight > 0.0) {
                *value = shared * weight;
            }
        }
    }
    factors
}

/// The share of a node's error at a distance from it in spans. Between two nodes the squares add up to one, so that the doubt is the same everywhere.
fn hat(t: f64) -> f64 {
    if t.abs() < 1.0 {
        math::cos(t * std::f64::consts::FRAC_PI_2)
    } else {
        0.0
    }
}

/// What the heights scatter against the line through their neighbours, as a standard deviation, m; `None` where too few show it.
fn own(points: &[PointAlong]) -> Option<f64> {
    let mut off: Vec<f64> = points
        .iter()
        .zip(points.iter().skip(1))
        .zip(points.iter().skip(2))
        .filter_map(|((a, b), c)| {
            let whole = c.m - a.m;
            if b.m <= a.m || c.m <= b.m {
                return None;
            }
            let w = (b.m - a.m) / whole;
            let line = a.height_m + w * (c.height_m - a.height_m);
            Some((b.height_m - line).abs() / (1.0 + w * w + (1.0 - w) * (1.0 - w)).sqrt())
        })
        .collect();
    if off.len() < LEAST {
        return None;
    }
    off.sort_by(f64::total_cmp);
    // The root of the mean square: ground that bends counts as scatter too, so that what is a point's own is rather too large.
    let n = off.len() as f64;
    let mean = off.iter().map(|x| x * x).sum::<f64>() / n;
    Some((mean.sqrt() * (1.0 + 2.0 / n.sqrt())).max(OWN_M))
}
