use super::{Climb, Flat};
use crate::heights::Heights;
use crate::numeric::math;

/// A fall below 1 in 250 carries neither bubbles nor silt (common practice for water mains: 1 in 250 to 1 in 300 falling; from memory).
const LEAST_FALL: f64 = 0.004;
/// The fall is looked at over this length, m, and a shorter flat is none.
const WINDOW_M: f64 = 10.0;
/// What may be steeper than 1 in 50 within its doubt is not called flat.
const SURELY_BELOW: f64 = 0.02;

/// Stretches that are known to be nearly level and are no part of a listed climb.
pub(super) fn flats(heights: &Heights, draws: &[Vec<f64>], climbs: &[Climb]) -> Vec<Flat> {
    let (Some(&first), Some(&last)) = (heights.station_m.first(), heights.station_m.last()) else {
        return Vec::new();
    };
    let mut out: Vec<Flat> = Vec::new();
    let mut open: Option<(f64, f64)> = None;
    let close = |open: &mut Option<(f64, f64)>, out: &mut Vec<Flat>| {
        if let Some((from, to)) = open.take()
            && to - from >= WINDOW_M - 1e-9
            && let Some(flat) = measure(heights, draws, from, to)
        {
            out.push(flat);
        }
    };
    for pair in heights.station_m.windows(2) {
        let &[a, b] = pair else { continue };
        let grow = 0.5 * (WINDOW_M - (b - a)).max(0.0);
        let (from, to) = ((a - grow).max(first), (b + grow).min(last));
        let fall = (heights.at(from) - heights.at(to)) / (to - from);
        let climbing = climbs
            .iter()
            .any(|c| b > c.low_station_m - grow && a < c.crest_station_m + grow);
        if fall.abs() < LEAST_FALL && !climbing {
            open = Some(open.map_or((a, b), |(start, _)| (start, b)));
        } else {
            close(&mut open, &mut out);
        }
    }
    close(&mut open, &mut out);
    out
}

fn measure(heights: &Heights, draws: &[Vec<f64>], from: f64, to: f64) -> Option<Flat> {
    let index = |s: f64| heights.station_m.partition_point(|&x| x < s);
    let (i, k) = (index(from), index(to));
    let fall_of = |line: &[f64]| Some((line.get(i)? - line.get(k)?) / (to - from));
    let fall = fall_of(&heights.mean_m)?;
    let n = draws.len() as f64;
    let fall_sd = (draws
        .iter()
        .filter_map(|d| fall_of(d))
        .map(|f| math::powi(f - fall, 2))
        .sum::<f64>()
        / n)
        .sqrt();
    (fall.abs() < LEAST_FALL && fall + 2.0 * fall_sd < SURELY_BELOW).then_some(Flat {
        from_station_m: from,
        to_station_m: to,
        fall,
        fall_sd,
    })
}
