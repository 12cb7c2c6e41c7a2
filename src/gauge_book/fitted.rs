//! A change as it stands in the fit.

use super::cause::{Cause, CauseEffect};
use super::scan::TimeCourse;

/// A change as it stands in the fit.
#[derive(Debug, Clone)]
pub(super) struct Fitted {
    pub(super) cause: Cause,
    pub(super) course: TimeCourse,
    pub(super) weighed: FittedChange,
    pub(super) per_size: Vec<f64>,
}

/// Size and likelihood of a change.
#[derive(Debug, Clone, Copy)]
pub(super) struct FittedChange {
    pub(super) size: f64,
    pub(super) size_sd: f64,
    /// Logarithm of the likelihood ratio.
    pub(super) ratio: f64,
    /// How well course and cause fit the readings as they stand, with what is known beforehand of cause, pace and size: what wanders by itself would count a long course for less than its end alone.
    pub(super) fit: f64,
    /// The ratio with what is known beforehand.
    pub(super) evidence: f64,
}

impl Fitted {
    pub(super) fn of(shape: &CauseEffect, course: TimeCourse, weighed: FittedChange) -> Self {
        Self {
            cause: shape.cause,
            course,
            weighed,
            per_size: shape.per_size.clone(),
        }
    }

    pub(super) fn on(&self, channel: usize, day: f64) -> f64 {
        self.per_size
            .get(channel)
            .map_or(0.0, |p| self.on_with(p, day))
    }

    pub(super) fn on_with(&self, per_size: &f64, day: f64) -> f64 {
        per_size * self.weighed.size * self.course.share(day)
    }
}
