//! How far a walk errs in plan, and what that does to the length.

use super::centre::{LegPass, SMOOTH_M};
use super::polyline::Polyline;
use crate::numeric::{math, median_in};
use crate::receiver::FORGETS_M;

/// Error of one walk in plan beforehand, m by axis: between open sky (about 2) and trees (about 4), 1 to 8 within two standard deviations of its logarithm.
const USUAL_M: f64 = 2.8;
const USUAL_SD: f64 = 0.5;

/// How loosely the way over which a receiver's error forgets itself (`FORGETS_M`) is held, on the logarithm: half a minute to two minutes of walking.
const FORGETS_SD: f64 = 0.7;

/// The weight `2 G(h) - G(h sqrt 2)` of a Gaussian of width h used twice, squared and summed along the line, is this over h.
const TWICE_SQUARED: f64 = 0.4065;

/// A line drawn on a map: to the width of a pencil.
const DRAWN_M: f64 = 1.0;

/// Least number of times that the line was walked for the walks to show their scatter.
const SHOWN_BY: f64 = 1.6;

/// What a line of walks shows of their error in plan.
#[derive(Debug)]
pub(super) struct PlanScatter<'a> {
    pub(super) passes: &'a [LegPass],
    /// How many times the line was walked on the mean.
    pub(super) times: f64,
    /// Drawn on a map, not walked.
    pub(super) drawn: bool,
    /// Variance of the line's direction that noise makes, rad2, where the line is smoothed.
    pub(super) wander_rad2: Option<f64>,
    pub(super) length_m: f64,
}

/// Error of one walk in plan, m by axis: from how far walks lie off their common line; of one walk, from how its line wanders, with what is usual beforehand.
pub(super) fn scatter(seen: &PlanScatter<'_>) -> f64 {
    if seen.drawn {
        return DRAWN_M;
    }
    if seen.times < SHOWN_BY {
        return of_one(seen.wander_rad2, seen.length_m);
    }
    let mut off: Vec<f64> = seen
        .passes
        .iter()
        .flat_map(|p| p.along.off_m.iter().copied())
        .collect();
    let between = 1.4826 * median_in(&mut off) * (seen.times / (seen.times - 1.0)).sqrt();
    // What all walks have in common (the satellites of one day) does not show between them.
    math::hypot(between, 0.5).min(10.0)
}

/// Error of a lone walk: an error of standard deviation D that forgets itself over L grows by `2 D^2 / L` a metre of way, and that is what turns the smoothed line to and fro.
///
/// One walk shows the growth, not L: `ln D = ln(growth L / 2) / 2` with the doubt of L, weighed against what is usual beforehand.
fn of_one(wander_rad2: Option<f64>, length_m: f64) -> f64 {
    let (mut weight, mut sum) = (
        math::powi(USUAL_SD, -2),
        math::powi(USUAL_SD, -2) * math::ln(USUAL_M),
    );
    if let Some(wander) = wander_rad2.filter(|w| *w > 0.0) {
        let growth = wander * SMOOTH_M / TWICE_SQUARED;
        // One independent value of the wander a width of the smoothing; 5.4: a variance from a median of as many.
        let values = (length_m / SMOOTH_M).max(1.0);
        let doubt_2 = 0.25 * (FORGETS_SD * FORGETS_SD + 5.4 / values);
        weight += 1.0 / doubt_2;
        sum += 0.5 * math::ln(0.5 * growth * FORGETS_M) / doubt_2;
    }
    // The root of the mean square of what D may be: it is a doubt that others are added to.
    math::exp(sum / weight + 1.0 / weight).clamp(0.3, 10.0)
}

/// Doubt of a line's length, m: both ends are as doubtful as a station, and so is each bend; what noise adds or smoothing takes is held under 0.2 % (docs/basis/route.md).
pub(crate) fn length_sd_m(line: &Polyline, station_sd_m: f64, length_m: f64) -> f64 {
    math::hypot(
        station_sd_m * (2.0 + line.turning(FORGETS_M)).sqrt(),
        0.002 * length_m,
    )
}
