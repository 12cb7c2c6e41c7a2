#![expect(
    clippy::indexing_slicing,
    reason = "five numbers of one receiver, two of each walk, one stride a kind of move"
)]

use crate::numeric::Rng;
use crate::numeric::math;
use crate::receiver::{BETWEEN_WALKS_SD, Class, Errors, Expected};

/// Share of offers that are a whole new receiver: small steps alone do not come from one class to another within the moves that there are, and large errors stayed unseen.
const AFRESH: f64 = 0.5;
/// Share of offers that are taken with which strides are content.
const CONTENT: f64 = 0.35;

/// The errors of every walk: one receiver's numbers, and how much larger or smaller the slow and the fast part of each walk are.
#[derive(Debug, Clone)]
pub(super) struct Noises {
    pub(super) expected: Expected,
    /// Natural logarithms of A, l, F, T, w.
    log: [f64; 5],
    /// Natural logarithms of each walk's factor on A and on F.
    walks: Vec<[f64; 2]>,
    /// What the evidence counts for: one walk alone says little of its own errors, for the ground explains a smooth one too easily.
    pub(super) power: f64,
    /// Strides of the moves: slow part, fast part, white part, each walk.
    stride: [f64; 4],
    held: bool,
}

/// Other errors, what was moved, and the odds without the evidence.
pub(super) struct Offer {
    pub(super) noises: Noises,
    pub(super) what: Option<usize>,
    pub(super) log_odds: f64,
}

impl Noises {
    pub(super) fn new(expected: Expected, errors: Errors, walks: usize, power: f64) -> Self {
        Self {
            expected,
            log: errors.log(),
            walks: vec![[0.0; 2]; walks],
            power,
            stride: [0.5; 4],
            held: false,
        }
    }

    /// The same errors for all walks, never moved.
    #[cfg(test)]
    pub(super) fn given(errors: Errors, walks: usize) -> Self {
        Self {
            held: true,
            ..Self::new(Expected::default(), errors, walks, 1.0)
        }
    }

    /// Errors by walk.
    pub(super) fn errors(&self) -> Vec<Errors> {
        let [a, l, f, t, w] = self.log;
        self.walks
            .iter()
            .map(|[on_a, on_f]| Errors::from_log(&[a + on_a, l, f + on_f, t, w]))
            .collect()
    }

    /// How likely each class of receivers is.
    pub(super) fn classes(&self) -> Vec<(Class, f64)> {
        self.expected.shares(&self.log)
    }

    /// Log density beforehand, up to a constant.
    pub(super) fn log_prior(&self) -> f64 {
        let walks: f64 = self
            .walks
            .iter()
            .flatten()
            .map(|d| math::powi(d / BETWEEN_WALKS_SD, 2))
            .sum();
        self.expected.log_density(&self.log) - 0.5 * walks
    }

    /// Something else: a step aside from here, or quite another receiver.
    pub(super) fn offer(&self, draws: &mut Rng) -> Offer {
        let mut to = self.clone();
        if self.held {
            return Offer {
                noises: to,
                what: None,
                log_odds: f64::NEG_INFINITY,
            };
        }
        if draws.uniform() < AFRESH {
            to.log = self.expected.draw(draws);
            // Drawn from what is expected: its density cancels.
            let odds = to.log_prior()
                - self.expected.log_density(&to.log)
                - (self.log_prior() - self.expected.log_density(&self.log));
            return Offer {
                noises: to,
                what: None,
                log_odds: odds,
            };
        }
        let what = draws.below(if self.walks.len() > 1 { 4 } else { 3 });
        let by = self.stride[what];
        match what {
            0 => {
                to.log[0] += by * draws.normal();
                to.log[1] += by * draws.normal();
            }
            1 => {
                to.log[2] += by * draws.normal();
                to.log[3] += by * draws.normal();
            }
            2 => to.log[4] += by * draws.normal(),
            _ => {
                let walk = draws.below(self.walks.len());
                for d in &mut to.walks[walk] {
                    *d += by * draws.normal();
                }
            }
        }
        Offer {
            log_odds: to.log_prior() - self.log_prior(),
            noises: to,
            what: Some(what),
        }
    }

    /// Longer strides where nearly all is taken, shorter ones where little is.
    pub(super) fn learn(&mut self, what: Option<usize>, odds: f64) {
        if let Some(what) = what {
            let taken = if odds.is_nan() {
                0.0
            } else {
                math::exp(odds).min(1.0)
            };
            let stride = &mut self.stride[what];
            *stride = (*stride * math::exp(0.5 * (taken - CONTENT))).clamp(0.02, 2.0);
        }
    }
}
