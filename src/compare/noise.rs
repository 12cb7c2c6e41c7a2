//! How much wider the witnesses err than their own doubt says, from how they part among themselves.

use super::strand::{Axis, Strands};
use super::weigh::{VarianceFactors, cost};
use crate::numeric::math;
use crate::numeric::{SimplexOptions, minimise};

/// How far off the survey's own figures may be, on the natural log: slow part, looks' own part, time.
const UP_SD: [f64; 3] = [0.5, 0.5, 0.3];
const ASIDE_SD: [f64; 3] = [0.8, 0.8, 0.7];
/// How much of the search is done.
const SEARCH: SimplexOptions = SimplexOptions {
    step: 0.4,
    close: 0.15,
    most: 45,
};
/// Factors are held within this of 1, on the natural log.
const MOST: f64 = 2.5;

/// Factors of both surveys by the likelihood of everything that was seen where nothing moved (the ground and the offsets taken out: restricted likelihood), held to the survey's own figures.
///
/// `windows`: nodes of the windows that are asked; `moved`: reaches whose later looks are left out, so that a movement does not pass for error.
pub(super) fn fitted(
    strands: &Strands,
    windows: &[&[f64]],
    axis: Axis,
    bend: f64,
    moved: &[(f64, f64)],
) -> [VarianceFactors; 2] {
    let sd = match axis {
        Axis::Up => UP_SD,
        Axis::Aside => ASIDE_SD,
    };
    let wanders: [bool; 2] = strands.each_ref().map(|s| s.iter().any(|s| s.wanders));
    // What is asked: the time where anything wanders, each survey's own part, and its slow part where it has one.
    let mut asked: Vec<(usize, usize)> = Vec::new();
    if wanders.iter().any(|w| *w) {
        asked.push((2, 2));
    }
    for (k, w) in wanders.iter().enumerate() {
        asked.push((k, 1));
        if *w {
            asked.push((k, 0));
        }
    }
    let scales = |x: &[f64]| -> [VarianceFactors; 2] {
        let mut out = [VarianceFactors::ONE; 2];
        for ((survey, part), v) in asked.iter().zip(x) {
            let by = math::exp(v.clamp(-MOST, MOST));
            for (k, scale) in out.iter_mut().enumerate() {
                match part {
                    0 if k == *survey => scale.slow = by,
                    1 if k == *survey => scale.own = by,
                    2 => scale.time = by,
                    _ => {}
                }
            }
        }
        out
    };
    let asked_cost = |x: &[f64]| -> f64 {
        let scales = scales(x);
        let seen: f64 = windows
            .iter()
            .map(|w| cost(strands, w, scales, bend, moved))
            .sum();
        let prior: f64 = asked
            .iter()
            .zip(x)
            .map(|((_, part), v)| math::powi(v / sd.get(*part).copied().unwrap_or(0.5), 2))
            .sum();
        seen + prior
    };
    let found = minimise(&vec![0.0; asked.len()], SEARCH, asked_cost);
    scales(&found.at)
}
