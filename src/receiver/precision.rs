#![expect(
    clippy::indexing_slicing,
    reason = "a kernel over lists of one length, checked at its door"
)]

use super::Errors;
use super::errors::STATES;
use crate::numeric::math;

/// When a reading was taken, and how many fixes stand behind it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instant {
    /// Walk's own clock, s; any origin, running either way.
    pub clock_s: f64,
    /// Fixes behind it, above 0: the white part shrinks with their root.
    pub count: f64,
    /// Standard deviation of what rounding took from it, m.
    pub rounded_sd_m: f64,
}

/// What the readings of one walk are worth together: the inverse covariance of their errors, with the walk's own offset unknown.
///
/// Nothing of the size of readings squared is formed: a filter runs along the clock once, and each product costs one run along and one back (J. Durbin and S. J. Koopman, Time Series Analysis by State Space Methods, 2001, section 4.4).
#[derive(Debug, Clone, PartialEq)]
pub struct Precision {
    /// Readings in the order of the clock.
    order: Vec<usize>,
    /// How the state came to each reading: slow part, share of the fast part.
    steps: Vec<([[f64; 2]; 2], f64)>,
    /// Weight of each reading's surprise on the state, and the variance of the surprise, m2.
    gain: Vec<[f64; STATES]>,
    surprise: Vec<f64>,
    /// C^-1 times ones, in the caller's order, and its sum.
    ones: Vec<f64>,
    ones_sum: f64,
}

type PrecisionState = [f64; STATES];

impl Precision {
    /// Of readings at these times; they may stand in any order. What is not a number in them makes figures that are none.
    pub fn new(errors: &Errors, at: &[Instant]) -> Self {
        let mut order: Vec<usize> = (0..at.len()).collect();
        order.sort_by(|&a, &b| at[a].clock_s.total_cmp(&at[b].clock_s));
        let a = errors.slow_sd_m * errors.slow_sd_m;
        let rate = errors.per_s();
        let mut var = [
            [a, 0.0, 0.0],
            [0.0, a * rate * rate, 0.0],
            [0.0, 0.0, errors.fast_sd_m * errors.fast_sd_m],
        ];
        let mut out = Self {
            steps: Vec::with_capacity(at.len()),
            gain: Vec::with_capacity(at.len()),
            surprise: Vec::with_capacity(at.len()),
            order,
            ones: Vec::new(),
            ones_sum: 0.0,
        };
        let mut before: Option<f64> = None;
        for &i in &out.order {
            let by_s = before.map_or(0.0, |b| at[i].clock_s - b);
            before = Some(at[i].clock_s);
            let step = errors.step(by_s);
            if by_s > 0.0 {
                var = carried(&var, &step);
                let ([hh, hr, rr], fast) = errors.anew(by_s);
                var[0][0] += hh;
                var[0][1] += hr;
                var[1][0] += hr;
                var[1][1] += rr;
                var[2][2] += fast;
            }
            // The reading is the sum of slow and fast part.
            let seen: PrecisionState = std::array::from_fn(|k| var[k][0] + var[k][2]);
            let white = errors.white_sd_m * errors.white_sd_m / at[i].count.max(1e-9)
                + at[i].rounded_sd_m * at[i].rounded_sd_m;
            let surprise = (seen[0] + seen[2] + white).max(1e-12);
            let gain: PrecisionState = std::array::from_fn(|k| seen[k] / surprise);
            for (row, g) in var.iter_mut().zip(gain) {
                for (v, s) in row.iter_mut().zip(seen) {
                    *v -= g * s;
                }
            }
            out.steps.push(step);
            out.gain.push(gain);
            out.surprise.push(surprise);
        }
        out.ones = out.inverse(&vec![1.0; at.len()]);
        out.ones_sum = out.ones.iter().sum();
        out
    }

    /// How many readings.
    pub fn len(&self) -> usize {
        self.order.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.order.is_empty()
    }

    /// P x, 1/m2 times the unit of x, in the caller's order: P = C^-1 - C^-1 1 1' C^-1 / (1' C^-1 1), so that adding a constant to x changes nothing. `values`: one a reading; a list of another length gives nothing.
    pub fn times(&self, values: &[f64]) -> Vec<f64> {
        let mut out = self.inverse(values);
        let share = out.iter().sum::<f64>() / self.ones_sum;
        for (o, one) in out.iter_mut().zip(&self.ones) {
            *o -= share * one;
        }
        out
    }

    /// X' P X for columns of one value a reading: what the readings say of the columns' coefficients, symmetric.
    pub fn information(&self, columns: &[Vec<f64>]) -> Vec<Vec<f64>> {
        let weighed: Vec<Vec<f64>> = columns.iter().map(|c| self.times(c)).collect();
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
        columns
            .iter()
            .map(|a| weighed.iter().map(|b| dot(a, b)).collect())
            .collect()
    }

    /// Logarithm of the determinant of C, the offset left out.
    pub fn log_det(&self) -> f64 {
        self.surprise.iter().map(|&s| math::ln(s)).sum()
    }

    /// C^-1 x.
    fn inverse(&self, values: &[f64]) -> Vec<f64> {
        if values.len() != self.order.len() {
            return Vec::new();
        }
        let mut state: PrecisionState = [0.0; STATES];
        let mut weighed = vec![0.0; values.len()];
        for (k, &i) in self.order.iter().enumerate() {
            state = onward(&state, &self.steps[k]);
            let off = values[i] - state[0] - state[2];
            weighed[k] = off / self.surprise[k];
            for (s, g) in state.iter_mut().zip(self.gain[k]) {
                *s += g * off;
            }
        }
        // Back along the clock: what later readings say of each.
        let mut later: PrecisionState = [0.0; STATES];
        let mut out = vec![0.0; values.len()];
        for (k, &i) in self.order.iter().enumerate().rev() {
            let pull = self.gain[k]
                .iter()
                .zip(later)
                .map(|(g, l)| g * l)
                .sum::<f64>();
            let value = weighed[k] - pull;
            out[i] = value;
            let own = [later[0] + value, later[1], later[2] + value];
            later = turned(&own, &self.steps[k]);
        }
        out
    }
}

/// F x.
fn onward(x: &PrecisionState, (slow, keep): &([[f64; 2]; 2], f64)) -> PrecisionState {
    [
        slow[0][0] * x[0] + slow[0][1] * x[1],
        slow[1][0] * x[0] + slow[1][1] * x[1],
        keep * x[2],
    ]
}

/// F' x.
fn turned(x: &PrecisionState, (slow, keep): &([[f64; 2]; 2], f64)) -> PrecisionState {
    [
        slow[0][0] * x[0] + slow[1][0] * x[1],
        slow[0][1] * x[0] + slow[1][1] * x[1],
        keep * x[2],
    ]
}

/// F V F'.
fn carried(
    var: &[PrecisionState; STATES],
    step: &([[f64; 2]; 2], f64),
) -> [PrecisionState; STATES] {
    let half: [PrecisionState; STATES] = std::array::from_fn(|i| onward(&var[i], step));
    let across: [PrecisionState; STATES] =
        std::array::from_fn(|i| std::array::from_fn(|k| half[k][i]));
    let whole: [PrecisionState; STATES] = std::array::from_fn(|i| onward(&across[i], step));
    std::array::from_fn(|i| std::array::from_fn(|k| whole[k][i]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::Rng;
    use nalgebra::{DMatrix, DVector};

    /// Against the covariance written out densely and inverted.
    #[test]
    fn the_same_as_the_inverse_written_out() {
        let mut draws = Rng::new(5);
        for round in 0..12 {
            let errors = Errors {
                slow_sd_m: draws.between(0.3, 6.0),
                slow_time_s: draws.between(8.0, 300.0),
                fast_sd_m: draws.between(0.05, 1.0),
                fast_time_s: draws.between(3.0, 40.0),
                white_sd_m: draws.between(0.03, 0.5),
            };
            let mut clock_s = 0.0;
            let mut at: Vec<Instant> = (0..40)
                .map(|_| {
                    clock_s += if draws.uniform() < 0.1 {
                        0.0
                    } else {
                        draws.between(0.5, 30.0)
                    };
                    Instant {
                        clock_s,
                        count: 1.0 + draws.below(3) as f64,
                        rounded_sd_m: if round % 3 == 2 { 0.3 } else { 0.0 },
                    }
                })
                .collect();
            if round % 2 == 1 {
                at.reverse();
            }
            let n = at.len();
            let c = DMatrix::from_fn(n, n, |i, k| {
                errors.covariance(at[i].clock_s - at[k].clock_s)
                    + if i == k {
                        math::powi(errors.white_sd_m, 2) / at[i].count
                            + math::powi(at[i].rounded_sd_m, 2)
                    } else {
                        0.0
                    }
            });
            let inverse = c.clone().cholesky().unwrap();
            let ones = DVector::from_element(n, 1.0);
            let of_ones = inverse.solve(&ones);
            let x = DVector::from_fn(n, |_, _| draws.normal());
            let plain = inverse.solve(&x);
            let want = &plain - &of_ones * (plain.sum() / of_ones.sum());
            let precision = Precision::new(&errors, &at);
            let got = precision.times(x.as_slice());
            let lifted: Vec<f64> = x.iter().map(|v| v + 7.0).collect();
            let scale = want.amax();
            for ((g, w), l) in got.iter().zip(want.iter()).zip(precision.times(&lifted)) {
                assert!((g - w).abs() < 1e-7 * scale, "{g} {w}");
                assert!((g - l).abs() < 1e-7 * scale);
            }
            let log_det: f64 = inverse
                .l()
                .diagonal()
                .iter()
                .map(|d| 2.0 * math::ln(*d))
                .sum();
            assert!((precision.log_det() - log_det).abs() < 1e-6);
            let two = precision.information(&[x.as_slice().to_vec(), vec![1.0; n]]);
            assert!((two[0][0] - x.dot(&want)).abs() < 1e-6 * two[0][0]);
            assert!(two[1][1].abs() < 1e-7 && two[0][1].abs() < 1e-6);
        }
    }
}
