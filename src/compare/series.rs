//! Differences between two aligned surveys along the line.

use super::align::{AlignOptions, Alignment};
use super::fit::{median, spread};
use crate::route::Route;
use crate::survey::Method;

/// Most pairs of draws that are compared.
const MOST_DRAWS: usize = 120;
/// Half the length over which slow differences between walks are taken out, m: the errors of receivers wander over hundreds of metres, slides seldom reach that far.
const SLOW_M: f64 = 75.0;

/// Differences on the matched stations.
pub(super) struct Series {
    pub(super) station_m: Vec<f64>,
    /// Later height less earlier with offset, drift and what is slow taken out, m.
    pub(super) up_m: Vec<f64>,
    /// The same to the left, m.
    pub(super) side_m: Option<Vec<f64>>,
    /// Raw differences of height in pairs of draws, m.
    pub(super) up_draws_m: Vec<Vec<f64>>,
    /// Later length along the line less earlier, from the start, m.
    pub(super) longer_m: Vec<f64>,
    /// Only the offset was taken out: both are books.
    pub(super) books: bool,
}

/// Whether a route's errors wander along the line, as a receiver's do.
pub(super) fn wanders(route: &Route) -> bool {
    route.heights.walks > 0 || matches!(route.method, Some(Method::Gpx | Method::Mixed) | None)
}

/// Height of the later survey at a matched station.
fn later(after: &Route, alignment: &Alignment, height_m: &[f64], after_m: f64) -> f64 {
    let own = if alignment.turned {
        after.nodes.last().map_or(0.0, |n| n.station_m) - after_m
    } else {
        after_m
    };
    crate::route::interpolate(&after.heights.station_m, height_m, own)
}

/// Takes the offset in height out, and a drift where it is certain.
pub(super) fn height_offset(
    before: &Route,
    after: &Route,
    options: &AlignOptions,
    alignment: &mut Alignment,
) {
    let pairs: Vec<(f64, f64)> = alignment
        .matched
        .iter()
        .map(|m| {
            let up = later(after, alignment, &after.heights.mean_m, m.after_m)
                - before.heights.at(m.before_m);
            (m.before_m, up)
        })
        .collect();
    let mut trusted: Vec<(f64, f64)> = pairs
        .iter()
        .copied()
        .filter(|(s, _)| alignment.is_stable(*s))
        .collect();
    if trusted.len() < 3 {
        trusted.clone_from(&pairs);
    }
    let stations: Vec<f64> = trusted.iter().map(|p| p.0).collect();
    let ups: Vec<f64> = trusted.iter().map(|p| p.1).collect();
    let same_heights = options.same_heights || one_datum(before, after, &pairs);
    if !same_heights {
        alignment.height_drift = certain_drift(&stations, &ups, wanders(before) || wanders(after));
        let flat: Vec<f64> = trusted
            .iter()
            .map(|(s, u)| u - alignment.height_drift * s)
            .collect();
        alignment.height_offset_m = median(&flat);
    }
    let left: Vec<f64> = trusted
        .iter()
        .map(|(s, u)| u - alignment.height_drift * s - alignment.height_offset_m)
        .collect();
    alignment.height_spread_m = spread(&left);
    // Neighbouring stations err together: some hundred metres of a walk, or twenty of a book, are one look.
    let one_look = if wanders(before) || wanders(after) {
        100.0
    } else {
        20.0
    };
    let looks = ((alignment.to_m - alignment.from_m) / one_look).max(1.0);
    alignment.height_offset_sd_m = if same_heights {
        0.0
    } else {
        alignment.height_spread_m / looks.sqrt()
    };
    let (offset, drift) = (alignment.height_offset_m, alignment.height_drift);
    for (m, (s, up)) in alignment.matched.iter_mut().zip(pairs) {
        m.up_m = up - offset - drift * s;
    }
}

/// Two books that hang on known heights, and agree to a few centimetres over a tenth of what both cover, hang on the same ones: then what parts them elsewhere has moved.
fn one_datum(before: &Route, after: &Route, pairs: &[(f64, f64)]) -> bool {
    /// Two books from one mark agree as well as this, m.
    const AGREE_M: f64 = 0.03;
    let agree = pairs.iter().filter(|(_, up)| up.abs() < AGREE_M).count();
    let books = !wanders(before) && !wanders(after);
    books && before.tied && after.tied && 10 * agree >= pairs.len()
}

/// The middle of all slopes between pairs of stations (H. Theil 1950, P. K. Sen 1968), where over the whole line it stands three times above what is left; else none.
fn certain_drift(stations: &[f64], ups: &[f64], wanders: bool) -> f64 {
    let thin = stations.len().div_ceil(80).max(1);
    let points: Vec<(f64, f64)> = stations
        .iter()
        .copied()
        .zip(ups.iter().copied())
        .step_by(thin)
        .collect();
    let (Some(first), Some(last)) = (points.first(), points.last()) else {
        return 0.0;
    };
    let length = last.0 - first.0;
    if !wanders || length < 100.0 {
        return 0.0;
    }
    let mut slopes = Vec::new();
    for (i, a) in points.iter().enumerate() {
        for b in points.iter().skip(i + 1) {
            if b.0 - a.0 > 0.3 * length {
                slopes.push((b.1 - a.1) / (b.0 - a.0));
            }
        }
    }
    let slope = median(&slopes);
    let left: Vec<f64> = points.iter().map(|(s, u)| u - slope * s).collect();
    if (slope * length).abs() > 3.0 * spread(&left).max(0.01) {
        slope
    } else {
        0.0
    }
}

impl Series {
    /// Differences on the matched stations; what is slow is told from the stations for which `calm` holds (all of them in a first round).
    pub(super) fn of(
        before: &Route,
        after: &Route,
        alignment: &Alignment,
        calm: impl Fn(usize) -> bool,
    ) -> Self {
        let station_m: Vec<f64> = alignment.matched.iter().map(|m| m.before_m).collect();
        let books = !wanders(before) && !wanders(after);
        let up: Vec<f64> = alignment.matched.iter().map(|m| m.up_m).collect();
        let side: Option<Vec<f64>> = alignment.matched.iter().map(|m| m.side_m).collect();
        let draws = before.heights.draws.len().min(after.heights.draws.len());
        let every = draws.div_ceil(MOST_DRAWS).max(1);
        let up_draws_m = before
            .heights
            .draws
            .iter()
            .zip(&after.heights.draws)
            .step_by(every)
            .map(|(a, b)| {
                alignment
                    .matched
                    .iter()
                    .map(|m| {
                        later(after, alignment, b, m.after_m)
                            - crate::route::interpolate(&before.heights.station_m, a, m.before_m)
                    })
                    .collect()
            })
            .collect();
        let start = alignment
            .matched
            .first()
            .map_or(0.0, |m| m.after_m - m.before_m);
        Self {
            up_m: if books {
                up
            } else {
                without_slow(&station_m, &up, &calm)
            },
            side_m: side.map(|s| without_slow(&station_m, &s, &calm)),
            longer_m: alignment
                .matched
                .iter()
                .map(|m| m.after_m - m.before_m - start)
                .collect(),
            up_draws_m,
            station_m,
            books,
        }
    }
}

/// Values less their running median over calm stations; where too few of them are near, over more of the line.
fn without_slow(station_m: &[f64], values: &[f64], calm: &impl Fn(usize) -> bool) -> Vec<f64> {
    let near = |s: f64, half_m: f64| -> Vec<f64> {
        let from = station_m.partition_point(|x| *x < s - half_m);
        let to = station_m.partition_point(|x| *x <= s + half_m);
        let thin = ((to - from) / 60).max(1);
        (from..to)
            .step_by(thin)
            .filter(|i| calm(*i))
            .filter_map(|i| values.get(i).copied())
            .collect()
    };
    station_m
        .iter()
        .zip(values)
        .map(|(s, v)| {
            let slow = [SLOW_M, 2.0 * SLOW_M, f64::MAX]
                .into_iter()
                .map(|half_m| near(*s, half_m))
                .find(|values| values.len() >= 15)
                .unwrap_or_default();
            v - median(&slow)
        })
        .collect()
}

/// Means over a running length, one a station: values within half of it on both sides.
pub(super) fn running_mean(station_m: &[f64], values: &[f64], length_m: f64) -> Vec<f64> {
    let mut sums = Vec::with_capacity(values.len() + 1);
    let mut sum = 0.0;
    sums.push(0.0);
    for v in values {
        sum += v;
        sums.push(sum);
    }
    station_m
        .iter()
        .map(|s| {
            let from = station_m.partition_point(|x| *x < s - 0.5 * length_m);
            let to = station_m.partition_point(|x| *x <= s + 0.5 * length_m);
            let at = |i: usize| sums.get(i).copied().unwrap_or(0.0);
            (at(to) - at(from)) / (to - from).max(1) as f64
        })
        .collect()
}
