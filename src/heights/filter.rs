#![expect(
    clippy::indexing_slicing,
    reason = "a kernel over unknowns whose places the screen has fixed"
)]

//! The ground, the errors of the walks and their offsets, followed reading by reading with the covariance of all that is unknown (R. E. Kalman, A new approach to linear filtering and prediction problems, 1960).

use super::gather::{FIRST_HEIGHT_SD_M, FIRST_SLOPE_SD};
use super::onward::LN_2PI;
use crate::numeric::math;
use crate::receiver::{Errors, STATES};
use multiversion::multiversion;

/// Products outside of this are taken into their logarithm.
pub(super) const IN_BOUNDS: std::ops::Range<f64> = 1e-150..1e150;

/// What an error keeps over a time and what comes anew.
#[derive(Debug, Clone, Copy)]
pub(super) struct ErrorPassage {
    slow: [[f64; 2]; 2],
    keep: f64,
    new: [f64; 3],
    new_fast: f64,
}

impl ErrorPassage {
    pub(super) fn of(errors: &Errors, by_s: f64) -> Self {
        let (slow, keep) = errors.step(by_s);
        let (new, new_fast) = errors.anew(by_s);
        Self {
            slow,
            keep,
            new,
            new_fast,
        }
    }
}

/// Covariance of one walk's error before any reading: fast fast, slow slow, fast slow, fast rate, slow rate, rate rate.
pub(super) fn at_first(errors: &Errors) -> [f64; 6] {
    let (slow, rate) = (errors.slow_sd_m * errors.slow_sd_m, errors.per_s());
    let fast = errors.fast_sd_m * errors.fast_sd_m;
    [fast, slow, 0.0, 0.0, 0.0, slow * rate * rate]
}

/// The same after a time.
pub(super) fn go_on(known: &mut [f64; 6], by: &ErrorPassage) {
    let [ff, ss, fs, fr, sr, rr] = *known;
    let [f, g] = by.slow;
    let slow = [f[0] * ss + f[1] * sr, f[0] * sr + f[1] * rr];
    let rate = [g[0] * ss + g[1] * sr, g[0] * sr + g[1] * rr];
    *known = [
        by.keep * by.keep * ff + by.new_fast,
        slow[0] * f[0] + slow[1] * f[1] + by.new[0],
        by.keep * (f[0] * fs + f[1] * fr),
        by.keep * (g[0] * fs + g[1] * fr),
        slow[0] * g[0] + slow[1] * g[1] + by.new[1],
        rate[0] * g[0] + rate[1] * g[1] + by.new[2],
    ];
}

/// The same after a reading with a white part of this variance; gives the variance that the reading had.
pub(super) fn see(known: &mut [f64; 6], white: f64) -> f64 {
    let [ff, ss, fs, fr, sr, rr] = *known;
    let (fast, slow, rate) = (ff + fs, fs + ss, fr + sr);
    let variance = fast + slow + white;
    let by = 1.0 / variance;
    *known = [
        ff - fast * fast * by,
        ss - slow * slow * by,
        fs - fast * slow * by,
        fr - fast * rate * by,
        sr - slow * rate * by,
        rr - rate * rate * by,
    ];
    variance
}

/// What is read: the ground by its heights and slopes at both ends of the step, the first place of an error, the place of an offset.
pub(super) struct StateReading {
    pub(super) height_m: f64,
    pub(super) weight: [f64; 4],
    pub(super) error: Option<usize>,
    pub(super) offset: Option<usize>,
}

/// Mean and covariance of the unknowns, the ground's first, and the density of what was read so far.
pub(super) struct FilterState<const N: usize> {
    covariance: [[f64; N]; N],
    mean: [f64; N],
    /// Sum of squares over variances, and of the logarithms of twice pi and the variances, which wait as a product.
    square: f64,
    logs: f64,
    product: f64,
}

impl<const N: usize> FilterState<N> {
    pub(super) fn at(first: [f64; 2]) -> Self {
        let mut out = Self {
            covariance: [[0.0; N]; N],
            mean: [0.0; N],
            square: 0.0,
            logs: 0.0,
            product: 1.0,
        };
        out.mean[..2].copy_from_slice(&first);
        out.covariance[0][0] = FIRST_HEIGHT_SD_M * FIRST_HEIGHT_SD_M;
        out.covariance[1][1] = FIRST_SLOPE_SD * FIRST_SLOPE_SD;
        out
    }

    pub(super) fn log(&self) -> f64 {
        -0.5 * (self.square + self.logs + math::ln(self.product))
    }

    /// Something begins that nothing is known of yet.
    pub(super) fn begin(&mut self, at: usize, variance: f64) {
        for row in &mut self.covariance {
            row[at] = 0.0;
        }
        self.covariance[at] = [0.0; N];
        self.covariance[at][at] = variance;
        self.mean[at] = 0.0;
    }

    /// The ground over the next step: its right node becomes the left one, and the new right one follows from that and from what the ground does of its own.
    pub(super) fn walk_on(&mut self, next: bool, h: f64, q: f64) {
        let on = |row: &mut [f64; N]| {
            if next {
                [row[0], row[1]] = [row[2], row[3]];
            }
            row[2] = row[0] + h * row[1];
            row[3] = row[1];
        };
        on(&mut self.mean);
        let [z0, s0, z1, s1, ..] = &mut self.covariance[..] else {
            return;
        };
        if next {
            (*z0, *s0) = (*z1, *s1);
        }
        for (z, (a, b)) in z1.iter_mut().zip(z0.iter().zip(s0.iter())) {
            *z = a + h * b;
        }
        *s1 = *s0;
        self.covariance.iter_mut().for_each(on);
        self.covariance[2][2] += q * h * h * h / 3.0;
        self.covariance[2][3] += q * h * h / 2.0;
        self.covariance[3][2] += q * h * h / 2.0;
        self.covariance[3][3] += q * h;
    }
}

/// A walk's error from one reading to the next: P = F P F' + Q, F and Q its own on the three states from a place on.
#[multiversion(targets("x86_64+avx+avx2"))]
pub(super) fn propagate<const N: usize>(state: &mut FilterState<N>, at: usize, by: &ErrorPassage) {
    let [f, g] = by.slow;
    let on = |fast: &mut f64, slow: &mut f64, rate: &mut f64| {
        *fast *= by.keep;
        (*slow, *rate) = (f[0] * *slow + f[1] * *rate, g[0] * *slow + g[1] * *rate);
    };
    if let Some([fast, slow, rate]) = state.covariance.get_mut(at..at + STATES) {
        for (fast, (slow, rate)) in fast.iter_mut().zip(slow.iter_mut().zip(rate.iter_mut())) {
            on(fast, slow, rate);
        }
    }
    for row in state.covariance.iter_mut().chain([&mut state.mean]) {
        if let Some([fast, slow, rate]) = row.get_mut(at..at + STATES) {
            on(fast, slow, rate);
        }
    }
    let (s, r) = (at + 1, at + 2);
    state.covariance[at][at] += by.new_fast;
    state.covariance[s][s] += by.new[0];
    state.covariance[s][r] += by.new[1];
    state.covariance[r][s] += by.new[1];
    state.covariance[r][r] += by.new[2];
}

/// A reading with a white part of this variance: the gain is P h / (h' P h + white), the covariance loses the gain times h' P.
#[multiversion(targets("x86_64+avx+avx2"))]
pub(super) fn update<const N: usize>(
    state: &mut FilterState<N>,
    reading: &StateReading,
    white: f64,
) {
    let [w0, w1, w2, w3] = reading.weight;
    let [z0, s0, z1, s1, ..] = &state.covariance[..] else {
        return;
    };
    let mut tie = [0.0; N];
    for i in 0..N {
        tie[i] = w0 * z0[i] + w1 * s0[i] + w2 * z1[i] + w3 * s1[i];
    }
    if let Some(at) = reading.error {
        let (fast, slow) = (&state.covariance[at], &state.covariance[at + 1]);
        for i in 0..N {
            tie[i] += fast[i] + slow[i];
        }
    }
    if let Some(at) = reading.offset {
        for (t, c) in tie.iter_mut().zip(&state.covariance[at]) {
            *t += c;
        }
    }
    let seen = |x: &[f64; N]| {
        let ground = w0 * x[0] + w1 * x[1] + w2 * x[2] + w3 * x[3];
        let error = reading.error.map_or(0.0, |at| x[at] + x[at + 1]);
        ground + error + reading.offset.map_or(0.0, |at| x[at])
    };
    let variance = (seen(&tie) + white).max(white);
    let by = 1.0 / variance;
    let off = reading.height_m - seen(&state.mean);
    for ((row, mean), t) in state.covariance.iter_mut().zip(&mut state.mean).zip(tie) {
        let share = t * by;
        *mean += share * off;
        for (c, t) in row.iter_mut().zip(&tie) {
            *c -= share * t;
        }
    }
    state.square += off * off * by;
    state.product *= variance;
    state.logs += LN_2PI;
    if !IN_BOUNDS.contains(&state.product) {
        state.logs += math::ln(state.product);
        state.product = 1.0;
    }
}
