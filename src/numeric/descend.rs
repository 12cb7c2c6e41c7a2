//! The lowest value of a function of a few variables.

use nalgebra::{DMatrix, DVector};

/// Where a descent ended.
#[derive(Debug, Clone, PartialEq)]
pub struct Minimum {
    /// The point.
    pub at: Vec<f64>,
    /// The value there.
    pub value: f64,
    /// Whether it settled before the limit.
    pub settled: bool,
}

/// How to come down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DescentOptions {
    /// Step over which a slope is taken.
    pub step: f64,
    /// Longest step of the descent.
    pub longest: f64,
    /// It has settled where the next step promises less than this.
    pub close: f64,
    /// Most steps.
    pub most: usize,
}

/// Inverse of the curvature before any is known.
const UNKNOWN: f64 = 0.1;
/// Share of what the slope promises that a step must come down by, and how much shorter the next one is else (L. Armijo, 1966).
const ENOUGH: f64 = 1e-4;
const SHORTER: f64 = 0.4;
const SHORTENED: usize = 12;

/// Lowest value of a function of a few variables by a quasi-Newton descent (C. G. Broyden, R. Fletcher, D. Goldfarb and D. F. Shanno, each 1970); values that are no number count as infinitely high.
///
/// It finds a local minimum, as sharply as slopes over `step` tell it, and does so without a promise: check `settled`.
pub fn minimise(from: &[f64], search: DescentOptions, f: impl Fn(&[f64]) -> f64) -> Minimum {
    let ask = |x: &DVector<f64>| {
        let value = f(x.as_slice());
        if value.is_nan() { f64::INFINITY } else { value }
    };
    let size = from.len();
    let unknown = || DMatrix::identity(size, size) * UNKNOWN;
    let gradient = |at: &DVector<f64>, value: f64| {
        DVector::from_fn(size, |i, _| {
            let mut beside = at.clone();
            if let Some(x) = beside.get_mut(i) {
                *x += search.step;
            }
            let slope = (ask(&beside) - value) / search.step;
            if slope.is_finite() { slope } else { 0.0 }
        })
    };
    let mut at = DVector::from_column_slice(from);
    let mut value = ask(&at);
    let mut slope = gradient(&at, value);
    let mut inverse = unknown();
    let mut settled = false;
    for _ in 0..search.most {
        let mut step = -(&inverse * &slope);
        let mut promised = -slope.dot(&step);
        if promised <= 0.0 {
            inverse = unknown();
            step = -(&inverse * &slope);
            promised = -slope.dot(&step);
        }
        settled = promised < search.close;
        if settled {
            break;
        }
        let mut share = (search.longest / step.norm()).min(1.0);
        let mut next = None;
        for _ in 0..SHORTENED {
            let there = &at + &step * share;
            let value_there = ask(&there);
            if value_there < value - ENOUGH * share * promised {
                next = Some((there, value_there));
                break;
            }
            share *= SHORTER;
        }
        let Some((there, value_there)) = next else {
            break;
        };
        let slope_there = gradient(&there, value_there);
        let (s, y) = (&there - &at, &slope_there - &slope);
        let sy = s.dot(&y);
        if sy > 1e-9 {
            let left = DMatrix::identity(size, size) - &s * y.transpose() / sy;
            inverse = &left * &inverse * left.transpose() + &s * s.transpose() / sy;
        }
        (at, value, slope) = (there, value_there, slope_there);
    }
    Minimum {
        at: at.as_slice().to_vec(),
        value,
        settled,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::math;

    const SEARCH: DescentOptions = DescentOptions {
        step: 1e-8,
        longest: 1.5,
        close: 1e-12,
        most: 200,
    };

    /// H. H. Rosenbrock's valley (Computer Journal 3, 1960), lowest at (1, 1).
    #[test]
    fn comes_down_a_curved_valley() {
        let end = minimise(&[-1.2, 1.0], SEARCH, |x| {
            100.0 * math::powi(x[1] - x[0] * x[0], 2) + math::powi(1.0 - x[0], 2)
        });
        assert!((end.at[0] - 1.0).abs() < 1e-4 && (end.at[1] - 1.0).abs() < 1e-4);
    }

    /// M. J. D. Powell's function of four variables (Computer Journal 5, 1962), lowest at 0, where its curvature is singular.
    #[test]
    fn comes_down_where_the_curvature_is_singular() {
        let end = minimise(&[3.0, -1.0, 0.0, 1.0], SEARCH, |x| {
            math::powi(x[0] + 10.0 * x[1], 2)
                + 5.0 * math::powi(x[2] - x[3], 2)
                + math::powi(x[1] - 2.0 * x[2], 4)
                + 10.0 * math::powi(x[0] - x[3], 4)
        });
        assert!(end.value < 1e-6, "{end:?}");
    }

    #[test]
    fn a_wall_stops_it_and_nothing_is_the_lowest_of_nothing() {
        let walled = minimise(&[3.0], SEARCH, |x| {
            if x[0] < 2.0 {
                f64::NAN
            } else {
                math::powi(x[0] - 1.0, 2)
            }
        });
        assert!((walled.at[0] - 2.0).abs() < 0.1, "{walled:?}");
        let nothing = minimise(&[], SEARCH, |_| 4.0);
        assert!(nothing.settled && nothing.value == 4.0);
    }
}
