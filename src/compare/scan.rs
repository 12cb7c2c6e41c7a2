//! The joint test: is there a movement anywhere on the line, up or aside, and where.
#![expect(
    clippy::indexing_slicing,
    reason = "a kernel over lists whose lengths are made here"
)]

use super::bank::{Template, WindowTarget, bank, between_edges};
use super::strand::Axis;
use super::weigh::NodeDifferences;
use crate::numeric::{Rng, math};
use nalgebra::{Cholesky, DMatrix};

/// How large movements are beforehand, m (standard deviation at the crest): a hand's breadth tells nothing of walks, ten metres is another pipe.
const LIFT_SD_M: f64 = 2.0;
/// Of all movements so many go up or down alone, aside alone, both ways.
const WAYS: [f64; 3] = [0.5, 0.2, 0.3];
/// Exponents are held to this: beyond it everything is sure.
const MOST: f64 = 300.0;

/// A template against one axis: its standard deviation's inverse, and the two figures of its evidence.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct TemplateScore {
    /// Root of s'Qs, 1/m.
    pub(super) root: f64,
    gain: f64,
    occam: f64,
}

/// One axis of a window.
#[derive(Debug, Clone)]
pub(super) struct WindowAxis {
    pub(super) held: NodeDifferences,
    pub(super) scores: Vec<TemplateScore>,
    factor: DMatrix<f64>,
}

/// A window of the line with everything that may have moved in it.
#[derive(Debug, Clone)]
pub(super) struct ScanWindow {
    pub(super) node_m: Vec<f64>,
    pub(super) bank: Vec<Template>,
    pub(super) wanted: WindowTarget,
    /// Nodes where something may have moved.
    free: Vec<bool>,
    pub(super) up: WindowAxis,
    pub(super) side: Option<WindowAxis>,
    /// Evidence for a movement in this window of each draw in which there is none.
    pub(super) null: Vec<f64>,
}

impl WindowAxis {
    pub(super) fn new(held: NodeDifferences, bank: &[Template]) -> Self {
        let scores = bank.iter().map(|t| TemplateScore::of(t, &held.q)).collect();
        let n = held.q.nrows();
        let trace: f64 = (0..n).map(|i| held.q[(i, i)]).sum::<f64>() / n as f64;
        // What nothing was seen of has no information: the least of it keeps the root real.
        let mut jitter = 1e-9 * trace.max(1e-9);
        let factor = loop {
            let mut q = held.q.clone();
            for i in 0..n {
                q[(i, i)] += jitter;
            }
            if let Some(f) = Cholesky::new(q) {
                break f.unpack();
            }
            jitter *= 30.0;
        };
        Self {
            held,
            scores,
            factor,
        }
    }

    /// One draw of `v` where nothing moved.
    pub(super) fn draw(&self, draws: &mut Rng, out: &mut [f64]) {
        out.fill(0.0);
        for (k, column) in self.factor.column_iter().enumerate() {
            let z = draws.normal();
            for (o, l) in out[k..].iter_mut().zip(column.iter().skip(k)) {
                *o += z * l;
            }
        }
    }

    /// Scores anew after the information changed.
    pub(super) fn rescore(&mut self, bank: &[Template]) {
        self.scores = bank
            .iter()
            .map(|t| TemplateScore::of(t, &self.held.q))
            .collect();
    }

    /// T of a template.
    pub(super) fn times(&self, k: usize, template: &Template, v: &[f64]) -> f64 {
        let root = self.scores[k].root;
        if root > 0.0 {
            dot(template, v) / root
        } else {
            0.0
        }
    }

    fn exponent(&self, k: usize, template: &Template, v: &[f64]) -> f64 {
        let t = self.times(k, template, v);
        self.scores[k].exponent(t)
    }
}

impl TemplateScore {
    fn of(t: &Template, q: &DMatrix<f64>) -> Self {
        let mut square = 0.0;
        for (i, a) in t.values.iter().enumerate() {
            let column = q.column(t.first + i);
            let part: f64 = t
                .values
                .iter()
                .zip(column.iter().skip(t.first))
                .map(|(b, q)| b * q)
                .sum();
            square += a * part;
        }
        let root = square.max(0.0).sqrt();
        if root < 1e-3 {
            return Self::default();
        }
        let r = math::powi(LIFT_SD_M * root, 2);
        Self {
            root,
            gain: 0.5 * r / (1.0 + r),
            occam: -0.5 * math::ln(1.0 + r),
        }
    }

    /// Logarithm of how much likelier T is with a movement than without one.
    pub(super) fn exponent(&self, t: f64) -> f64 {
        self.occam + self.gain * t * t
    }

    /// Most likely lift at the crest and its standard deviation, m.
    pub(super) fn lift(&self, t: f64) -> (f64, f64) {
        let info = self.root * self.root + 1.0 / (LIFT_SD_M * LIFT_SD_M);
        (t * self.root / info, 1.0 / info.sqrt())
    }
}

/// The exponential, held where everything is sure.
fn held_exp(x: f64) -> f64 {
    math::exp(x.min(MOST))
}

fn dot(t: &Template, v: &[f64]) -> f64 {
    t.values.iter().zip(&v[t.first..]).map(|(a, b)| a * b).sum()
}

/// What a window shows: `v` on both axes.
pub(super) type WindowEvidence<'a> = (&'a [f64], Option<&'a [f64]>);

/// Exponents of a template: up, aside.
#[derive(Debug, Clone, Copy)]
pub(super) struct Weight {
    pub(super) up: f64,
    pub(super) side: f64,
}

impl Weight {
    /// Evidence over all ways, 1 where there is none; on the natural log.
    pub(super) fn log(self, has_side: bool) -> f64 {
        if !has_side {
            return self.up;
        }
        let [a, b, c] = WAYS;
        let most = self.up.max(self.side).max(self.up + self.side);
        most + math::ln(
            a * math::exp(self.up - most)
                + b * math::exp(self.side - most)
                + c * math::exp(self.up + self.side - most),
        )
    }
}

impl ScanWindow {
    pub(super) fn new(
        node_m: Vec<f64>,
        wanted: WindowTarget,
        is_free: impl Fn(f64) -> bool,
        up: NodeDifferences,
        side: Option<NodeDifferences>,
    ) -> Self {
        let free: Vec<bool> = node_m.iter().map(|s| is_free(*s)).collect();
        let bank = bank(&node_m, wanted, |i| free[i]);
        Self {
            up: WindowAxis::new(up, &bank),
            side: side.map(|s| WindowAxis::new(s, &bank)),
            bank,
            wanted,
            free,
            node_m,
            null: Vec::new(),
        }
    }

    /// The same with flat movements laid close about a template.
    pub(super) fn closer(&self, k: usize) -> Self {
        let mut out = self.clone();
        let flats = between_edges(&self.node_m, &self.bank[k], self.wanted);
        let may = |t: &Template| {
            self.free[t.first..t.first + t.values.len()]
                .iter()
                .all(|f| *f)
        };
        out.bank.extend(flats.into_iter().filter(may));
        out.up.rescore(&out.bank);
        if let Some(side) = &mut out.side {
            side.rescore(&out.bank);
        }
        out
    }

    pub(super) fn weight(&self, k: usize, seen: WindowEvidence<'_>) -> Weight {
        let t = &self.bank[k];
        Weight {
            up: self.up.exponent(k, t, seen.0),
            side: self
                .side
                .as_ref()
                .zip(seen.1)
                .map_or(0.0, |(f, v)| f.exponent(k, t, v)),
        }
    }

    /// The likeliest of some templates, and the natural logarithm of its evidence with its share.
    pub(super) fn likeliest(&self, counts: impl Fn(&Template) -> bool) -> Option<(usize, f64)> {
        (0..self.bank.len())
            .filter(|&k| counts(&self.bank[k]))
            .map(|k| (k, self.log_with_share(k)))
            .max_by(|a, b| a.1.total_cmp(&b.1))
    }

    fn log_with_share(&self, k: usize) -> f64 {
        let log = self.weight(k, self.seen()).log(self.side.is_some());
        log + math::ln(self.bank[k].share)
    }

    /// Natural logarithm of the evidence of some templates together, each times its share; minus infinity of none.
    pub(super) fn log_evidence(&self, counts: impl Fn(&Template) -> bool) -> f64 {
        let logs: Vec<f64> = (0..self.bank.len())
            .filter(|&k| counts(&self.bank[k]))
            .map(|k| self.log_with_share(k))
            .collect();
        let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        most + math::ln(logs.iter().map(|l| math::exp(l - most)).sum())
    }

    /// How much likelier what is seen is with one movement somewhere in the window than with none, times that share of the line.
    pub(super) fn evidence(
        &self,
        seen: WindowEvidence<'_>,
        counts: impl Fn(&Template) -> bool,
    ) -> f64 {
        let has_side = self.side.is_some();
        let [a, b, c] = WAYS;
        (0..self.bank.len())
            .filter(|&k| counts(&self.bank[k]))
            .map(|k| {
                let w = self.weight(k, seen);
                let up = held_exp(w.up);
                self.bank[k].share
                    * if has_side {
                        let side = held_exp(w.side);
                        a * up + b * side + c * up * side
                    } else {
                        up
                    }
            })
            .sum()
    }

    /// Evidence of a template, times its share, by what one axis shows: what comes in any case, and how strongly that axis counts; from T of the other axis.
    pub(super) fn beside(&self, k: usize, axis: Axis, other: f64) -> (f64, f64) {
        let share = self.bank[k].share;
        let Some(side) = &self.side else {
            return (0.0, share);
        };
        let [up_alone, side_alone, both] = WAYS;
        let (other, alone, other_alone) = match axis {
            Axis::Up => (side.scores[k].exponent(other), up_alone, side_alone),
            Axis::Aside => (self.up.scores[k].exponent(other), side_alone, up_alone),
        };
        let other = held_exp(other);
        (share * other_alone * other, share * (alone + both * other))
    }

    /// What an axis shows, by T of a template.
    pub(super) fn shown(&self, k: usize, axis: Axis, t: f64) -> f64 {
        let face = match axis {
            Axis::Up => Some(&self.up),
            Axis::Aside => self.side.as_ref(),
        };
        face.map_or(1.0, |f| held_exp(f.scores[k].exponent(t)))
    }

    pub(super) fn seen(&self) -> WindowEvidence<'_> {
        (
            self.up.held.v.as_slice(),
            self.side.as_ref().map(|f| f.held.v.as_slice()),
        )
    }

    /// Draws in which nothing moved.
    pub(super) fn draw_null(&mut self, draws: &mut Rng, count: usize) {
        let n = self.node_m.len();
        let (mut up, mut side) = (vec![0.0; n], vec![0.0; n]);
        self.null = (0..count)
            .map(|_| {
                self.up.draw(draws, &mut up);
                let aside = self.side.as_ref().map(|f| {
                    f.draw(draws, &mut side);
                    side.as_slice()
                });
                self.evidence((&up, aside), |_| true)
            })
            .collect();
    }
}
