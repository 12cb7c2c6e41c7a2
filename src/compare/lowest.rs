//! A few unknown figures by their likelihood: the likeliest.

use nalgebra::{DMatrix, DVector};

/// What a search ended with.
pub(super) struct Likeliest {
    pub(super) at: Vec<f64>,
    /// Twice the negative logarithm of how likely they are.
    pub(super) cost: f64,
}

/// So many starts are followed to their end.
const FOLLOWED: usize = 2;
/// Step for a gradient.
const STEP: f64 = 0.01;
/// The search ends where it promises less than this, in units of the cost.
const CLOSE: f64 = 0.05;
/// Most steps of the search.
const MOST_STEPS: usize = 40;
/// Longest step in units of what is expected beforehand.
const LONGEST: f64 = 1.5;

/// The lowest cost by a quasi-Newton search (C. G. Broyden, R. Fletcher, D. Goldfarb and D. F. Shanno, each 1970) from the likeliest of `starts`.
///
/// `cost`: twice the negative logarithm of a density whose figures beforehand are standard normal. A value that is no number is refused.
pub(super) fn likeliest(starts: &[Vec<f64>], cost: impl Fn(&[f64]) -> f64) -> Likeliest {
    let ask = |x: &DVector<f64>| {
        let value = cost(x.as_slice());
        if value.is_nan() { f64::INFINITY } else { value }
    };
    let mut begins: Vec<(f64, DVector<f64>)> = starts
        .iter()
        .map(|start| DVector::from_column_slice(start))
        .map(|start| (ask(&start), start))
        .collect();
    begins.sort_by(|a, b| a.0.total_cmp(&b.0));
    begins.truncate(FOLLOWED);
    let ends = begins.into_iter().map(|(_, start)| lowest(start, ask));
    let end = ends.min_by(|a, b| a.cost.total_cmp(&b.cost));
    end.unwrap_or(Likeliest {
        at: Vec::new(),
        cost: f64::NAN,
    })
}

fn lowest(mut at: DVector<f64>, ask: impl Fn(&DVector<f64>) -> f64) -> Likeliest {
    let size = at.len();
    let mut value = ask(&at);
    let gradient = |at: &DVector<f64>, value: f64| {
        DVector::from_fn(size, |i, _| {
            let mut beside = at.clone();
            if let Some(figure) = beside.get_mut(i) {
                *figure += STEP;
            }
            let slope = (ask(&beside) - value) / STEP;
            if slope.is_finite() { slope } else { 0.0 }
        })
    };
    let mut slope = gradient(&at, value);
    let mut inverse = DMatrix::identity(size, size) * 0.1;
    for _ in 0..MOST_STEPS {
        let mut step = -(&inverse * &slope);
        let mut promised = -slope.dot(&step);
        if promised <= 0.0 {
            inverse = DMatrix::identity(size, size) * 0.1;
            step = -(&inverse * &slope);
            promised = -slope.dot(&step);
        }
        if promised < CLOSE {
            break;
        }
        let long = step.norm();
        let mut share = (LONGEST / long).min(1.0);
        let mut next = None;
        for _ in 0..12 {
            let there = &at + &step * share;
            let value_there = ask(&there);
            if value_there < value - 1e-4 * share * promised {
                next = Some((there, value_there));
                break;
            }
            share *= 0.4;
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
    Likeliest {
        at: at.as_slice().to_vec(),
        cost: value,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::math;

    /// Two figures told together by their sum (standard deviation 0.1), else only beforehand: by hand.
    #[test]
    fn two_figures_that_share_a_sum_share_it_evenly() {
        let cost = |x: &[f64]| {
            let sum: f64 = x.iter().sum();
            math::powi((sum - 1.0) / 0.1, 2) + x.iter().map(|v| v * v).sum::<f64>()
        };
        let found = likeliest(&[vec![0.0; 2], vec![3.0, -1.0]], cost);
        let [a, b] = [0, 1].map(|i| found.at.get(i).copied().unwrap_or(f64::NAN));
        assert!(
            (a - 1.0 / 2.01).abs() < 0.02 && (b - a).abs() < 0.05,
            "{a} {b}"
        );
        assert!((found.cost - cost(&found.at)).abs() < 1e-9);
    }
}
