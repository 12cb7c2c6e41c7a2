//! What the readings of one walk are worth together: the inverse covariance of their errors, the walk's own offset unknown.

use steadyfall::receiver::Errors;

/// When a reading was taken.
#[derive(Debug, Clone, Copy)]
pub(super) struct Instant {
    pub(super) clock_s: f64,
}

/// A filter that runs along the clock once; each product costs one run along and one back (J. Durbin and S. J. Koopman, Time Series Analysis by State Space Methods, 2001, section 4.4).
pub(super) struct Precision {
    /// Readings in the order of the clock.
    order: Vec<usize>,
    /// What is left of the drift since the reading before, how much a surprise moves it, and the variance of the surprise, m2.
    steps: Vec<[f64; 3]>,
    ones: Vec<f64>,
    ones_sum: f64,
}

impl Precision {
    /// Of the fast and the white part of the errors: these walks have no other.
    pub(super) fn new(errors: &Errors, at: &[Instant]) -> Self {
        let mut order: Vec<usize> = (0..at.len()).collect();
        order.sort_by(|&a, &b| at[a].clock_s.total_cmp(&at[b].clock_s));
        let whole = errors.fast_sd_m.powi(2);
        let (mut var, mut before) = (whole, None);
        let mut steps = Vec::with_capacity(at.len());
        for &i in &order {
            let by_s = before.map_or(0.0, |b| at[i].clock_s - b);
            before = Some(at[i].clock_s);
            let keep = (-by_s / errors.fast_time_s).exp();
            var = keep * keep * var + whole * (1.0 - keep * keep);
            let surprise = var + errors.white_sd_m.powi(2);
            steps.push([keep, var / surprise, surprise]);
            var -= var * var / surprise;
        }
        let mut out = Self {
            order,
            steps,
            ones: Vec::new(),
            ones_sum: 0.0,
        };
        out.ones = out.inverse(&vec![1.0; at.len()]);
        out.ones_sum = out.ones.iter().sum();
        out
    }

    /// P x with P = C^-1 - C^-1 1 1' C^-1 / (1' C^-1 1), in the caller's order: a constant added to x changes nothing.
    pub(super) fn times(&self, values: &[f64]) -> Vec<f64> {
        let inverse = self.inverse(values);
        let share = inverse.iter().sum::<f64>() / self.ones_sum;
        let pairs = inverse.iter().zip(&self.ones);
        pairs.map(|(x, one)| x - share * one).collect()
    }

    /// X' P X for columns of one value a reading.
    pub(super) fn information(&self, columns: &[Vec<f64>]) -> Vec<Vec<f64>> {
        let weighed: Vec<Vec<f64>> = columns.iter().map(|c| self.times(c)).collect();
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
        let row = |a: &Vec<f64>| weighed.iter().map(|b| dot(a, b)).collect();
        columns.iter().map(row).collect()
    }

    /// C^-1 x.
    fn inverse(&self, values: &[f64]) -> Vec<f64> {
        let (mut out, mut drift) = (vec![0.0; values.len()], 0.0);
        for (&i, [keep, gain, surprise]) in self.order.iter().zip(&self.steps) {
            drift *= keep;
            let off = values[i] - drift;
            out[i] = off / surprise;
            drift += gain * off;
        }
        // Back along the clock: what later readings say of each.
        let mut later = 0.0;
        for (&i, [keep, gain, _]) in self.order.iter().zip(&self.steps).rev() {
            out[i] -= gain * later;
            later = keep * (later + out[i]);
        }
        out
    }
}

/// Against the covariance written out and inverted.
#[test]
fn the_same_as_the_inverse_written_out() {
    use nalgebra::{DMatrix, DVector};
    use steadyfall::numeric::Rng;
    let mut draws = Rng::new(5);
    for round in 0..12 {
        let errors = Errors {
            slow_sd_m: 0.0,
            slow_time_s: 100.0,
            fast_sd_m: draws.between(0.3, 6.0),
            fast_time_s: draws.between(3.0, 300.0),
            white_sd_m: draws.between(0.03, 0.5),
        };
        let mut clock_s = 0.0;
        let mut at: Vec<Instant> = (0..40)
            .map(|k| {
                clock_s += if k % 9 == 0 {
                    0.0
                } else {
                    draws.between(0.5, 30.0)
                };
                Instant { clock_s }
            })
            .collect();
        if round % 2 == 1 {
            at.reverse();
        }
        let n = at.len();
        let c = DMatrix::from_fn(n, n, |i, k| {
            let white = if i == k { errors.white_sd_m } else { 0.0 };
            errors.covariance(at[i].clock_s - at[k].clock_s) + white * white
        });
        let inverse = c.cholesky().unwrap();
        let of_ones = inverse.solve(&DVector::from_element(n, 1.0));
        let x = DVector::from_fn(n, |_, _| draws.normal());
        let plain = inverse.solve(&x);
        let want = &plain - &of_ones * (plain.sum() / of_ones.sum());
        let precision = Precision::new(&errors, &at);
        let lifted: Vec<f64> = x.iter().map(|v| v + 7.0).collect();
        let got = precision.times(x.as_slice());
        for ((g, w), l) in got.iter().zip(want.iter()).zip(precision.times(&lifted)) {
            assert!((g - w).abs() < 1e-7 * want.amax(), "{g} {w}");
            assert!((g - l).abs() < 1e-7 * want.amax());
        }
        let two = precision.information(&[x.as_slice().to_vec(), vec![1.0; n]]);
        assert!((two[0][0] - x.dot(&want)).abs() < 1e-6 * two[0][0]);
        assert!(two[1][1].abs() < 1e-7 && two[0][1].abs() < 1e-6);
    }
}
