//! A few unknown figures by their likelihood: the likeliest, and others that are about as likely.

use crate::numeric::Rng;
use nalgebra::{DMatrix, DVector, SymmetricEigen};

/// What a search ended with: the likeliest figures, and draws of them.
pub(super) struct Posterior {
    pub(super) at: Vec<f64>,
    /// Twice the negative logarithm of how likely they are.
    pub(super) cost: f64,
    pub(super) draws: Vec<Vec<f64>>,
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

/// The lowest cost by a quasi-Newton search (C. G. Broyden, R. Fletcher, D. Goldfarb and D. F. Shanno, each 1970) from the likeliest of `starts`, and `count` draws by the curvature there (P. S. Laplace's approximation), in mirrored pairs.
///
/// `cost`: twice the negative logarithm of a density whose figures beforehand are standard normal: no curvature is taken for less than theirs. A value that is no number is refused.
pub(super) fn posterior(
    starts: &[Vec<f64>],
    count: usize,
    cost: impl Fn(&[f64]) -> f64,
) -> Posterior {
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
    let ends = begins.into_iter().map(|(_, start)| lowest(start, &ask));
    let Some(end) = ends.min_by(|a, b| a.value.total_cmp(&b.value)) else {
        return Posterior {
            at: Vec::new(),
            cost: f64::NAN,
            draws: Vec::new(),
        };
    };
    let draws = draws(&end, count, ask);
    Posterior {
        at: end.at.as_slice().to_vec(),
        cost: end.value,
        draws,
    }
}

/// Where one search ended, and the inverse of the curvature as far as it was learnt on the way.
struct Lowest {
    at: DVector<f64>,
    value: f64,
    inverse: DMatrix<f64>,
}

fn lowest(mut at: DVector<f64>, ask: impl Fn(&DVector<f64>) -> f64) -> Lowest {
    let size = at.len();
    let mut value = ask(&at);
    let gradient = |at: &DVector<f64>, value: f64| {
        DVector::from_fn(size, |i, _| {
            let mut beside = at.clone();
            beside[i] += STEP;
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
    Lowest { at, value, inverse }
}

/// Draws about the lowest cost by its second differences.
fn draws(end: &Lowest, count: usize, ask: impl Fn(&DVector<f64>) -> f64) -> Vec<Vec<f64>> {
    /// Curvature of what is expected beforehand.
    const BEFOREHAND: f64 = 2.0;
    let Lowest { at, value, inverse } = end;
    let size = at.len();
    if count == 0 {
        return Vec::new();
    }
    // Steps over which the cost changes by about 1.
    let step = DVector::from_fn(size, |i, _| {
        inverse[(i, i)].max(0.0).sqrt().clamp(0.03, 0.5)
    });
    let beside = |i: usize, k: Option<usize>, sign: f64| {
        let mut x = at.clone();
        x[i] += sign * step[i];
        if let Some(k) = k {
            x[k] += sign * step[k];
        }
        ask(&x)
    };
    let on: Vec<f64> = (0..size).map(|i| beside(i, None, 1.0)).collect();
    let mut bend = DMatrix::zeros(size, size);
    for (i, a) in on.iter().enumerate() {
        bend[(i, i)] = (a + beside(i, None, -1.0) - 2.0 * value) / (step[i] * step[i]);
        for (k, b) in on.iter().enumerate().take(i) {
            let both = (beside(i, Some(k), 1.0) - a - b + value) / (step[i] * step[k]);
            bend[(i, k)] = both;
            bend[(k, i)] = both;
        }
    }
    if bend.iter().any(|b| !b.is_finite()) {
        bend = DMatrix::identity(size, size) * BEFOREHAND;
    }
    let own = SymmetricEigen::new(bend);
    let wide = own.eigenvalues.map(|l| (2.0 / l.max(BEFOREHAND)).sqrt());
    let mut normal = Rng::new(22);
    let mut out = Vec::with_capacity(count);
    while out.len() < count {
        let z = DVector::from_fn(size, |i, _| normal.normal() * wide[i]);
        let off = &own.eigenvectors * z;
        for sign in [1.0, -1.0] {
            if out.len() < count {
                out.push((at + &off * sign).as_slice().to_vec());
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::math;

    /// Two figures told together by their sum (standard deviation 0.1), else only beforehand: by hand.
    #[test]
    fn draws_are_as_wide_as_the_curvature_says() {
        let cost = |x: &[f64]| {
            let sum: f64 = x.iter().sum();
            math::powi((sum - 1.0) / 0.1, 2) + x.iter().map(|v| v * v).sum::<f64>()
        };
        let found = posterior(&[vec![0.0; 2]], 4000, cost);
        let [a, b] = [0, 1].map(|i| found.at.get(i).copied().unwrap_or(f64::NAN));
        assert!(
            (a - 1.0 / 2.01).abs() < 0.02 && (b - a).abs() < 0.05,
            "{a} {b}"
        );
        let spread = |of: &dyn Fn(&[f64]) -> f64| {
            let squares: f64 = found.draws.iter().map(|d| math::powi(of(d), 2)).sum();
            (squares / found.draws.len() as f64).sqrt()
        };
        let sum = spread(&|d| d.iter().sum::<f64>() - a - b);
        assert!((sum - (1.0f64 / 100.5).sqrt()).abs() < 0.01, "{sum}");
        let apart = spread(&|d| d.iter().zip([1.0, -1.0]).map(|(x, s)| x * s).sum::<f64>() - a + b);
        assert!((apart - 2f64.sqrt()).abs() < 0.08, "{apart}");
    }
}
