//! The offset in height between two surveys.

use super::alignment::{AlignOptions, Alignment};
use crate::numeric::{median, spread};
use crate::reading::Method;
use crate::route::Route;

/// Whether a route's errors wander along the line, as a receiver's do.
pub(super) fn wanders(route: &Route) -> bool {
    route.heights.walks > 0 || matches!(route.method, Some(Method::Gpx | Method::Mixed) | None)
}

/// Height of the later survey at a matched station.
fn later(after: &Route, alignment: &Alignment, height_m: &[f64], after_m: f64) -> f64 {
    let own = if alignment.turned {
        after.length_m() - after_m
    } else {
        after_m
    };
    crate::numeric::series::interpolate(&after.heights.station_m, height_m, own)
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
