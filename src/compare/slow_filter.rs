//! The slow errors of a witness, followed from look to look (R. E. Kalman 1960): what each look says beyond those before it.
#![expect(
    clippy::indexing_slicing,
    reason = "a kernel over matrices whose sizes are fixed at its door"
)]

use super::strand::{Strand, StrandLook};
use crate::numeric::math;
use crate::route::Slow;
use multiversion::multiversion;

/// How much wider each survey errs than its own doubt says: factors of variance of the slow part and of the looks' own, and a factor of the slow part's time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct VarianceFactors {
    pub(super) slow: f64,
    pub(super) own: f64,
    pub(super) time: f64,
    /// Beside those: the variance and the time of the slow part that is not smooth.
    pub(super) quick: f64,
    pub(super) quick_time: f64,
}

impl VarianceFactors {
    pub(super) const ONE: Self = Self {
        slow: 1.0,
        own: 1.0,
        time: 1.0,
        quick: 1.0,
        quick_time: 1.0,
    };
}

/// The slow errors of a strand, followed from look to look for every column at once.
pub(super) struct SlowFilter {
    parts: Vec<SlowPart>,
    /// What is expected of each state, a row of columns a state.
    mean: Vec<f64>,
    /// Covariance of the states.
    cov: Vec<f64>,
    states: usize,
    columns: usize,
    clock_s: Option<f64>,
    own: f64,
}

/// A part of the slow errors: its first state and whether it counts with the grade.
struct SlowPart {
    slow: Slow,
    first: usize,
    along: bool,
}

impl SlowFilter {
    pub(super) fn new(strand: &Strand, scale: VarianceFactors, columns: usize) -> Self {
        let mut parts = Vec::new();
        let mut states = 0;
        let scaled = strand.slow.iter().enumerate().map(|(i, s)| {
            let (quick, quick_time) = if i == 0 {
                (1.0, 1.0)
            } else {
                (scale.quick, scale.quick_time)
            };
            (
                Slow {
                    variance_m2: s.variance_m2 * scale.slow * quick,
                    time_s: s.time_s * scale.time * quick_time,
                    ..*s
                },
                false,
            )
        });
        let along = (strand.along_sd_m > 0.0).then(|| {
            let slow = Slow {
                variance_m2: strand.along_sd_m * strand.along_sd_m,
                time_s: strand.along_time_s,
                smooth: false,
            };
            (slow, true)
        });
        for (slow, along) in scaled.chain(along) {
            parts.push(SlowPart {
                slow,
                first: states,
                along,
            });
            states += if slow.smooth { 2 } else { 1 };
        }
        let mut cov = vec![0.0; states * states];
        for part in &parts {
            let i = part.first;
            cov[i * states + i] = part.slow.variance_m2;
            if part.slow.smooth {
                cov[(i + 1) * states + i + 1] =
                    part.slow.variance_m2 * part.slow.rate() * part.slow.rate();
            }
        }
        Self {
            parts,
            mean: vec![0.0; states * columns],
            cov,
            states,
            columns,
            clock_s: None,
            own: scale.own,
        }
    }

    pub(super) fn is_none(&self) -> bool {
        self.states == 0
    }

    /// Takes off a row of columns what the looks before it foretell, and gives the variance of what is left.
    pub(super) fn beyond(
        &mut self,
        spot: &StrandLook,
        row: &mut [f64],
        (first, last): (usize, usize),
        nodes: usize,
    ) -> f64 {
        let own = spot.own_m2 * self.own;
        if self.is_none() {
            return own;
        }
        let d = self.states;
        if let Some(before) = self.clock_s {
            self.pass((spot.clock_s - before).abs(), (first, last), nodes);
        }
        self.clock_s = Some(spot.clock_s);
        let mut sees = vec![0.0; d];
        for part in &self.parts {
            sees[part.first] = if part.along { spot.grade } else { 1.0 };
        }
        let gain: Vec<f64> = (0..d)
            .map(|i| (0..d).map(|k| self.cov[i * d + k] * sees[k]).sum())
            .collect();
        // The mean of a random walk over the time the readings lasted wanders less from one look to the next than the walk itself: as if a sixth of its growth were taken off the looks' own part.
        let hidden: f64 = self
            .parts
            .iter()
            .filter(|p| !p.slow.smooth)
            .map(|p| {
                let sees = sees[p.first];
                sees * sees * p.slow.variance_m2 * p.slow.rate() * spot.lasts_s / 3.0
            })
            .sum();
        let own = (own - hidden).max(0.02 * own - 0.9 * hidden);
        let variance = own + gain.iter().zip(&sees).map(|(g, s)| g * s).sum::<f64>();
        for range in [first..last + 1, nodes..self.columns] {
            let row = &mut row[range.clone()];
            for (i, sees) in sees.iter().enumerate().filter(|(_, s)| **s != 0.0) {
                added(row, &self.mean[i * self.columns..][range.clone()], -sees);
            }
            for (i, gain) in gain.iter().enumerate() {
                let mean = &mut self.mean[i * self.columns..][range.clone()];
                added(mean, row, gain / variance);
            }
        }
        for i in 0..d {
            for k in 0..d {
                self.cov[i * d + k] -= gain[i] * gain[k] / variance;
            }
        }
        variance
    }

    /// Lets time pass.
    fn pass(&mut self, time_s: f64, (first, last): (usize, usize), nodes: usize) {
        let d = self.states;
        let columns = self.columns;
        for p in 0..self.parts.len() {
            let (i, slow) = (self.parts[p].first, self.parts[p].slow);
            let r = slow.rate();
            let keep = math::exp(-r * time_s);
            let turn: [f64; 4] = if slow.smooth {
                let x = r * time_s;
                [
                    keep * (1.0 + x),
                    keep * time_s,
                    -keep * r * x,
                    keep * (1.0 - x),
                ]
            } else {
                [keep, 0.0, 0.0, keep]
            };
            let (value, rate) = self.mean[i * columns..].split_at_mut(columns);
            for range in [first..last + 1, nodes..columns] {
                if slow.smooth {
                    turned(&mut value[range.clone()], &mut rate[range], turn);
                } else {
                    value[range].iter_mut().for_each(|m| *m *= keep);
                }
            }
            // Rows, then columns, of the covariance.
            for k in 0..d {
                if slow.smooth {
                    let (a, b) = (self.cov[i * d + k], self.cov[(i + 1) * d + k]);
                    self.cov[i * d + k] = turn[0] * a + turn[1] * b;
                    self.cov[(i + 1) * d + k] = turn[2] * a + turn[3] * b;
                } else {
                    self.cov[i * d + k] *= keep;
                }
            }
            for k in 0..d {
                if slow.smooth {
                    let (a, b) = (self.cov[k * d + i], self.cov[k * d + i + 1]);
                    self.cov[k * d + i] = turn[0] * a + turn[1] * b;
                    self.cov[k * d + i + 1] = turn[2] * a + turn[3] * b;
                } else {
                    self.cov[k * d + i] *= keep;
                }
            }
            // What comes new: the stationary covariance less what is left of it.
            let (v, w) = (slow.variance_m2, slow.variance_m2 * r * r);
            if slow.smooth {
                self.cov[i * d + i] += v - turn[0] * turn[0] * v - turn[1] * turn[1] * w;
                let across = turn[0] * turn[2] * v + turn[1] * turn[3] * w;
                self.cov[i * d + i + 1] -= across;
                self.cov[(i + 1) * d + i] -= across;
                self.cov[(i + 1) * d + i + 1] += w - turn[2] * turn[2] * v - turn[3] * turn[3] * w;
            } else {
                self.cov[i * d + i] += v * (1.0 - keep * keep);
            }
        }
    }
}

/// Adds so many times another row.
#[multiversion(targets("x86_64+avx+avx2"))]
fn added(row: &mut [f64], other: &[f64], times: f64) {
    for (to, r) in row.iter_mut().zip(other) {
        *to += times * r;
    }
}

/// Lets a smooth error and its rate pass on.
#[multiversion(targets("x86_64+avx+avx2"))]
fn turned(value: &mut [f64], rate: &mut [f64], turn: [f64; 4]) {
    for (a, b) in value.iter_mut().zip(rate) {
        (*a, *b) = (turn[0] * *a + turn[1] * *b, turn[2] * *a + turn[3] * *b);
    }
}
