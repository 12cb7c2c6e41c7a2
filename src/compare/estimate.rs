//! How far a reach moved: its mean and its crest, with their doubt.
#![expect(
    clippy::indexing_slicing,
    reason = "indices are made here from the lengths of the same lists"
)]

use super::bank::Template;
use super::scan::{ScanWindow, WindowAxis};
use crate::numeric::math;
use nalgebra::{Cholesky, DMatrix, DVector};

/// Where a movement is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct MovementPlace {
    /// The reach that is told, m: where it is more than a third of its crest.
    pub(super) reach_m: (f64, f64),
    /// All of it, m.
    pub(super) wide_m: (f64, f64),
    /// Where it is largest, m.
    pub(super) peak_m: f64,
    /// How large it is, up and aside, m.
    pub(super) size_m: [f64; 2],
    /// What all shapes together tell, up and aside.
    pub(super) mixed: [Mixed; 2],
}

impl MovementPlace {
    /// Whether it lies at the foot of another movement, goes the same way and is less than what ends a reach.
    pub(super) fn is_skirt_of(&self, other: &Self) -> bool {
        const NEAR_M: f64 = 12.0;
        let gap = (self.wide_m.0 - other.wide_m.1).max(other.wide_m.0 - self.wide_m.1);
        let along = |a: &Self, b: &Self| -> f64 {
            a.mixed
                .iter()
                .zip(&b.mixed)
                .map(|(a, b)| a.crest.m * b.crest.m)
                .sum()
        };
        gap < NEAR_M
            && along(self, other) > 0.0
            && along(self, self) < EDGE * EDGE * along(other, other)
    }
}

/// Mean and crest over a reach by all shapes, widths and places that may be, each by its own likelihood.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Mixed {
    mean: Told,
    crest: Told,
}

/// A figure and its standard deviation, m.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Told {
    pub(super) m: f64,
    pub(super) sd_m: f64,
}

impl Told {
    /// The same, with a doubt that holds nothing too, which it is with this probability.
    pub(super) fn or_nothing(self, probability: f64) -> Self {
        let there = (1.0 - probability) * self.sd_m * self.sd_m;
        Self {
            sd_m: (there + probability * self.m * self.m).sqrt(),
            ..self
        }
    }
}

/// What one axis tells of a reach.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct AxisTold {
    /// Mean over the reach.
    pub(super) mean: Told,
    /// At the crest.
    pub(super) crest: Told,
    /// Where the crest is, m.
    pub(super) crest_at_m: f64,
}

/// What is told of a movement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct MovementEstimate {
    pub(super) up: AxisTold,
    pub(super) side: Option<AxisTold>,
}

/// A reach ends where the movement falls to this share of its largest, ...
const EDGE: f64 = 1.0 / 3.0;
/// ... and there is none of it beyond this share.
const NOTHING: f64 = 0.05;

/// The place of a movement, from all templates over the middle of the likeliest, each by its own likelihood.
pub(super) fn curve(
    window: &ScanWindow,
    best: usize,
    counts: impl Fn(&Template) -> bool,
) -> Option<MovementPlace> {
    let n = window.node_m.len();
    let seen = window.seen();
    let likely = &window.bank[best];
    let at = window
        .node_m
        .partition_point(|s| *s < likely.middle_m)
        .clamp(likely.first, likely.first + likely.values.len() - 1);
    let over = |t: &Template| {
        at >= t.first && at < t.first + t.values.len() && t.values[at - t.first] > 0.2
    };
    let mut logs: Vec<(usize, f64)> = (0..window.bank.len())
        .filter(|&k| over(&window.bank[k]) && counts(&window.bank[k]))
        .map(|k| {
            (
                k,
                window.weight(k, seen).log(window.side.is_some()) + math::ln(window.bank[k].share),
            )
        })
        .collect();
    let most = logs.iter().map(|l| l.1).fold(f64::NEG_INFINITY, f64::max);
    logs.retain(|l| l.1 > most - 12.0);
    let (mut up, mut side, mut all) = (vec![0.0; n], vec![0.0; n], 0.0);
    for &(k, log) in &logs {
        let weight = math::exp(log - most);
        all += weight;
        let t = &window.bank[k];
        let lift =
            |face: &WindowAxis, v: &[f64]| face.scores[k].lift(face.times(k, t, v)).0 * weight;
        let (a, b) = (
            lift(&window.up, seen.0),
            window
                .side
                .as_ref()
                .zip(seen.1)
                .map_or(0.0, |(f, v)| lift(f, v)),
        );
        for (i, value) in t.values.iter().enumerate() {
            up[t.first + i] += a * value;
            side[t.first + i] += b * value;
        }
    }
    let size: Vec<f64> = up
        .iter()
        .zip(&side)
        .map(|(a, b)| math::hypot(*a, *b) / all)
        .collect();
    let crest = (0..n).max_by(|a, b| size[*a].total_cmp(&size[*b]))?;
    if size[crest] <= 0.0 {
        return None;
    }
    let edges = |share: f64| {
        let bar = share * size[crest];
        let cut = |inside: usize, outside: usize| {
            let t = (size[inside] - bar) / (size[inside] - size[outside]).max(1e-12);
            window.node_m[inside]
                + t.clamp(0.0, 1.0) * (window.node_m[outside] - window.node_m[inside])
        };
        let below = (0..crest).rev().find(|&i| size[i] < bar);
        let above = (crest..n).find(|&i| size[i] < bar);
        (
            below.map_or(window.node_m[0], |i| cut(i + 1, i)),
            above.map_or(window.node_m[n - 1], |i| cut(i - 1, i)),
        )
    };
    let reach_m = edges(EDGE);
    let mixed = [Some(&window.up), window.side.as_ref()].map(|face| {
        face.zip(
            if std::ptr::eq(face.map_or(&window.up, |f| f), &window.up) {
                Some(seen.0)
            } else {
                seen.1
            },
        )
        .map_or_else(Mixed::default, |(face, v)| {
            mixed(window, face, v, &logs, most, reach_m)
        })
    });
    let largest = |values: &[f64]| values.iter().map(|v| (v / all).abs()).fold(0.0, f64::max);
    Some(MovementPlace {
        reach_m,
        wide_m: edges(NOTHING),
        peak_m: window.node_m[crest],
        size_m: [largest(&up), largest(&side)],
        mixed,
    })
}

/// What the shapes tell of one axis: the lift of each over the reach, with its own doubt and theirs together, wherever the later survey may lie on the earlier one (three points of Gauss and Hermite).
fn mixed(
    window: &ScanWindow,
    face: &WindowAxis,
    v: &[f64],
    logs: &[(usize, f64)],
    most: f64,
    reach_m: (f64, f64),
) -> Mixed {
    const STEPS: usize = 24;
    let (mut all, mut sums) = (0.0, [[0.0; 2]; 2]);
    let off = 3f64.sqrt() * window.wanted.place_sd_m;
    let places = [(-off, 1.0 / 6.0), (0.0, 4.0 / 6.0), (off, 1.0 / 6.0)];
    for &(k, log) in logs {
        let t = &window.bank[k];
        let (lift, sd) = face.scores[k].lift(face.times(k, t, v));
        for (off, share) in places {
            let (mut mean, mut crest) = (0.0, 0.0_f64);
            for step in 0..STEPS {
                let s = reach_m.0 + (reach_m.1 - reach_m.0) * (step as f64 + 0.5) / STEPS as f64;
                let value = t.at(s + off);
                mean += value / STEPS as f64;
                crest = crest.max(value);
            }
            let weight = share * math::exp(log - most);
            all += weight;
            for (sum, share) in sums.iter_mut().zip([mean, crest]) {
                sum[0] += weight * lift * share;
                sum[1] += weight * share * share * (lift * lift + sd * sd);
            }
        }
    }
    let [mean, crest] = sums.map(|[first, second]| {
        let m = first / all;
        Told {
            m,
            sd_m: (second / all - m * m).max(0.0).sqrt(),
        }
    });
    Mixed { mean, crest }
}

impl ScanWindow {
    /// Takes a reach out: what moved there may have moved in any way.
    pub(super) fn mask(&mut self, wide_m: (f64, f64)) {
        let inside = within(&self.node_m, wide_m);
        if inside.is_empty() {
            return;
        }
        self.up.mask(&inside, &self.bank);
        if let Some(side) = &mut self.side {
            side.mask(&inside, &self.bank);
        }
    }
}

fn within(node_m: &[f64], (from, to): (f64, f64)) -> Vec<usize> {
    (0..node_m.len())
        .filter(|&i| node_m[i] >= from - 1e-9 && node_m[i] <= to + 1e-9)
        .collect()
}

impl MovementEstimate {
    /// `others`: reaches that moved too, whose movement must not count as quiet ground.
    pub(super) fn of(window: &ScanWindow, place: &MovementPlace, others: &[(f64, f64)]) -> Self {
        let mut window = window.clone();
        for other in others {
            let apart = other.1 <= place.wide_m.0 || other.0 >= place.wide_m.1;
            if apart {
                window.mask(*other);
            }
        }
        let axis = |face: &WindowAxis, size: f64| told(face, &window.node_m, place, size);
        let up = axis(&window.up, place.size_m[0]);
        let side = window.side.as_ref().map(|f| axis(f, place.size_m[1]));
        let [m, n] = place.mixed;
        Self {
            up: up.with(m),
            side: side.map(|s| s.with(n)),
        }
    }
}

impl AxisTold {
    /// Where the movement stands far above its doubt its own form tells; else what all shapes tell, and the wider doubt of both.
    fn with(self, mixed: Mixed) -> Self {
        const FAR: f64 = 20.0;
        if mixed.crest.sd_m <= 0.0 || self.crest.m.abs() > FAR * self.crest.sd_m {
            return self;
        }
        let wider = |a: Told, b: Told| Told {
            m: b.m,
            sd_m: a.sd_m.max(b.sd_m),
        };
        Self {
            mean: wider(self.mean, mixed.mean),
            crest: wider(self.crest, mixed.crest),
            ..self
        }
    }
}

/// Mean and crest of one axis over a reach: the movement bends as a movement of its size and length does, and is nothing outside.
fn told(face: &WindowAxis, node_m: &[f64], place: &MovementPlace, size_m: f64) -> AxisTold {
    /// A movement of no size still bends.
    const LEAST_M: f64 = 0.02;
    /// No movement is larger than some metres.
    const MOST_M: f64 = 5.0;
    let inside = within(node_m, place.wide_m);
    let n = inside.len();
    if n == 0 {
        return AxisTold::default();
    }
    let half = (0.5 * (place.wide_m.1 - place.wide_m.0)).max(2.0);
    // Information of the axis itself keeps a size that is not told from being held to nothing.
    let info = inside
        .iter()
        .map(|&i| face.held.q[(i, i)])
        .fold(0.0, f64::max);
    let size = size_m
        .max(LEAST_M)
        .max((1.0 / info.max(1e-6).sqrt()).min(1.0));
    let bend = 4.0 * size * size / (half * half * half);
    let mut info = DMatrix::from_fn(n, n, |i, k| face.held.q[(inside[i], inside[k])]);
    for i in 0..n {
        info[(i, i)] += 1.0 / (MOST_M * MOST_M);
        let here = node_m[inside[i]];
        let left = inside[i].checked_sub(1).map(|k| node_m[k]);
        let right = node_m.get(inside[i] + 1).copied();
        if let (Some(l), Some(r)) = (left, right) {
            let (a, b) = (here - l, r - here);
            let row = [1.0 / a, -1.0 / a - 1.0 / b, 1.0 / b];
            let weight = 3.0 / (bend * (a + b));
            for x in 0..3 {
                for y in 0..3 {
                    if let (Some(p), Some(q)) = ((i + x).checked_sub(1), (i + y).checked_sub(1))
                        && p < n
                        && q < n
                    {
                        info[(p, q)] += row[x] * row[y] * weight;
                    }
                }
            }
        }
    }
    let Some(factor) = Cholesky::new(info) else {
        return AxisTold::default();
    };
    let v = DVector::from_fn(n, |i, _| face.held.v[inside[i]]);
    let mean = factor.solve(&v);
    let told = |weights: &DVector<f64>| {
        let half = factor.solve(weights);
        Told {
            m: weights.dot(&mean),
            sd_m: weights.dot(&half).max(0.0).sqrt(),
        }
    };
    let mut over = DVector::zeros(n);
    const STEPS: usize = 60;
    let (from, to) = place.reach_m;
    for step in 0..STEPS {
        let s = from + (to - from) * (step as f64 + 0.5) / STEPS as f64;
        let above = inside.partition_point(|&i| node_m[i] <= s);
        let share = |i: usize| -> f64 {
            let here = node_m[inside[i]];
            let other = if here <= s {
                node_m.get(inside[i] + 1)
            } else {
                inside[i].checked_sub(1).and_then(|k| node_m.get(k))
            };
            other.map_or(1.0, |o| 1.0 - ((s - here) / (o - here)).clamp(0.0, 1.0))
        };
        for i in [above.checked_sub(1), Some(above)]
            .into_iter()
            .flatten()
            .filter(|&i| i < n)
        {
            over[i] += share(i) / STEPS as f64;
        }
    }
    let crest = (0..n)
        .filter(|&i| node_m[inside[i]] >= from - 1.0 && node_m[inside[i]] <= to + 1.0)
        .max_by(|a, b| mean[*a].abs().total_cmp(&mean[*b].abs()))
        .unwrap_or(n / 2);
    let mut at = DVector::zeros(n);
    at[crest] = 1.0;
    AxisTold {
        mean: told(&over),
        crest: told(&at),
        crest_at_m: node_m[inside[crest]],
    }
}

impl WindowAxis {
    /// The same with what some nodes say left open.
    fn mask(&mut self, inside: &[usize], bank: &[Template]) {
        let n = self.held.q.nrows();
        let m = inside.len();
        let mut q = DMatrix::from_fn(m, m, |i, k| self.held.q[(inside[i], inside[k])]);
        for i in 0..m {
            q[(i, i)] += 1e-6;
        }
        let Some(factor) = Cholesky::new(q) else {
            return;
        };
        let l = factor.l();
        // x = l^-1 q_mr; q - x'x, v - x' l^-1 v_m.
        let mut x = DMatrix::from_fn(m, n, |i, k| self.held.q[(inside[i], k)]);
        l.solve_lower_triangular_mut(&mut x);
        let mut w = DVector::from_fn(m, |i, _| self.held.v[inside[i]]);
        l.solve_lower_triangular_mut(&mut w);
        for i in 0..n {
            self.held.v[i] -= x.column(i).dot(&w);
            for k in 0..n {
                self.held.q[(i, k)] -= x.column(i).dot(&x.column(k));
            }
        }
        for &i in inside {
            self.held.v[i] = 0.0;
            for k in 0..n {
                self.held.q[(i, k)] = 0.0;
                self.held.q[(k, i)] = 0.0;
            }
        }
        self.rescore(bank);
    }
}
