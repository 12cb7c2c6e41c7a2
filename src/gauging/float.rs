//! A float over a measured distance, and soundings across the stream.

use super::{Note, mean};
use crate::numeric::math;
use crate::unit::exact::FOOT_M;

/// Mean speed over the surface's, by mean depth in feet.
///
/// Source: US Bureau of Reclamation, Water Measurement Manual (third edition), table 13-1, from memory.
const FACTORS: [(f64, f64); 10] = [
    (1.0, 0.66),
    (2.0, 0.68),
    (3.0, 0.70),
    (4.0, 0.72),
    (5.0, 0.74),
    (6.0, 0.76),
    (9.0, 0.77),
    (12.0, 0.78),
    (15.0, 0.79),
    (20.0, 0.80),
];

/// Standard deviation of that factor, of itself; and where it is shallower than the table: a rough bed slows the water more (own judgement).
const FACTOR_SD: f64 = 0.08;
const SHALLOW_SD: f64 = 0.15;

/// Standard deviation of the area by soundings, of itself (own judgement).
const AREA_SD: f64 = 0.08;

/// A run shorter than this says little, s (common practice, no source).
const SHORT_S: f64 = 20.0;

/// Standard deviation of a stopwatch by hand, s.
const HAND_S: f64 = 0.5;

/// Mean speed over the surface's at a mean depth, and whether the depth is in the table.
pub fn factor(mean_depth_m: f64) -> (f64, bool) {
    let feet = mean_depth_m / FOOT_M;
    let pairs = FACTORS.iter().zip(FACTORS.iter().skip(1));
    for ((d0, f0), (d1, f1)) in pairs {
        if (*d0..=*d1).contains(&feet) {
            return (f0 + (f1 - f0) * (feet - d0) / (d1 - d0), true);
        }
    }
    let (_, least) = FACTORS.first().copied().unwrap_or((1.0, 0.66));
    let (_, most) = FACTORS.last().copied().unwrap_or((20.0, 0.80));
    if feet < 1.0 {
        (least, false)
    } else {
        (most, true)
    }
}

/// A sounding: distance across the stream, and depth, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sounding {
    /// From a bank, m.
    pub across_m: f64,
    /// Depth, m, 0 at a bank.
    pub depth_m: f64,
}

/// Area between soundings in order, m2: straight from one to the next.
pub fn area_m2(soundings: &[Sounding]) -> f64 {
    soundings
        .iter()
        .zip(soundings.iter().skip(1))
        .map(|(a, b)| 0.5 * (a.depth_m + b.depth_m) * (b.across_m - a.across_m))
        .sum()
}

/// One float.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FloatRun {
    /// Distance, m.
    pub distance_m: f64,
    /// Time, s.
    pub time_s: f64,
}

/// Flow by floats, m3/s, with its standard deviation and what makes it doubtful; `None` without runs or area. `areas_m2` are the cross-sections that were sounded, `width_m` their mean width.
///
/// Q = factor x mean area x mean surface speed. Holds on a straight, even reach.
pub fn flow(runs: &[FloatRun], areas_m2: &[f64], width_m: f64) -> Option<(f64, f64, Vec<Note>)> {
    let speeds: Vec<f64> = runs.iter().map(|r| r.distance_m / r.time_s).collect();
    let (speed, spread) = mean(&speeds)?;
    let times: Vec<f64> = runs.iter().map(|r| r.time_s).collect();
    let (time_s, _) = mean(&times)?;
    let (area, between) = mean(areas_m2)?;
    if area <= 0.0 || width_m <= 0.0 {
        return None;
    }
    let (factor, deep) = factor(area / width_m);
    let flow = factor * area * speed;
    let hand = HAND_S / time_s / super::count(runs.len()).sqrt();
    let by_reading = (spread.unwrap_or(0.0) / speed).max(hand);
    let by_area = (between.unwrap_or(0.0) / area).max(AREA_SD);
    let by_factor = if deep { FACTOR_SD } else { SHALLOW_SD };
    let share = math::hypot(by_reading, math::hypot(by_area, by_factor));
    let mut notes = Vec::new();
    if runs.len() == 1 {
        notes.push(Note::OneReading);
    }
    if time_s < SHORT_S {
        notes.push(Note::ShortRun);
    }
    if !deep {
        notes.push(Note::Shallow);
    }
    Some((flow, share * flow, notes))
}
