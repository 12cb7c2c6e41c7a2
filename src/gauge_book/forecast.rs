//! How a change that grows goes on: a straight line through its last four weeks, told only where the readings bear it.

use super::cause::Cause;
use super::fitted::Fitted;
use super::judge::BookJudge;
use super::plant::Plant;
use super::result::Forecast;
use crate::numeric::{Bracket, root};

/// Days of the past that a forecast looks at.
const LOOKS_BACK: f64 = 28.0;
/// Least readings, least days and least rate over its doubt for a forecast.
const LEAST_READINGS: usize = 6;
const LEAST_DAYS: f64 = 5.0;
const LEAST_SURE: f64 = 3.0;
/// Nothing is told beyond so many days, nor beyond so many times the days looked at.
const FARTHEST_DAYS: f64 = 120.0;

/// The forecast of the change that takes most power among those that grow.
pub(super) fn forecast(
    plant: &Plant<'_>,
    judge: &BookJudge<'_>,
    fitted: &[Fitted],
) -> Option<Forecast> {
    let mut best: Option<Forecast> = None;
    for (i, f) in fitted.iter().enumerate() {
        let grows = matches!(f.cause, Cause::InTheWay | Cause::Growth | Cause::JetWorn);
        if !grows || f.course.until.is_finite() {
            continue;
        }
        let Some(rate) = judge.rate(fitted, i, LOOKS_BACK) else {
            continue;
        };
        if rate.readings < LEAST_READINGS
            || rate.over_days < LEAST_DAYS
            || rate.per_day < LEAST_SURE * rate.per_day_sd
        {
            continue;
        }
        let lost = |size: f64| plant.power_lost(&plant.change(f.cause, size.max(0.0)));
        let Some(lost_now) = lost(rate.now) else {
            continue;
        };
        let last = judge.last_day();
        let farthest = FARTHEST_DAYS.min(3.0 * rate.over_days);
        let reaches = |share: f64| {
            if lost_now >= share {
                return None;
            }
            let size = size_for(share, &lost)?;
            let days = |now: f64, per_day: f64| (size - now).max(0.0) / per_day;
            let likely = days(rate.now, rate.per_day);
            let soon = days(
                rate.now + 2.0 * rate.now_sd,
                rate.per_day + 2.0 * rate.per_day_sd,
            );
            let late = days(
                rate.now - 2.0 * rate.now_sd,
                rate.per_day - 2.0 * rate.per_day_sd,
            );
            (likely <= farthest).then_some((last + soon, last + likely, last + late))
        };
        let this = Forecast {
            cause: f.cause,
            lost_now,
            five: reaches(0.05),
            ten: reaches(0.10),
            readings: rate.readings,
        };
        if best.is_none_or(|b| this.lost_now > b.lost_now) {
            best = Some(this);
        }
    }
    best
}

/// The size at which a share of the power is gone.
fn size_for(share: f64, lost: &dyn Fn(f64) -> Option<f64>) -> Option<f64> {
    let mut high = 1e-3;
    while lost(high)? < share {
        high *= 2.0;
        if high > 1e4 {
            return None;
        }
    }
    root(
        Bracket {
            low: 0.0,
            high,
            width: high * 1e-6,
        },
        |x| share - lost(x).unwrap_or(1.0),
    )
    .ok()
}
