//! What strands say of the nodes of a window, as information: precision and what it points to.
#![expect(
    clippy::indexing_slicing,
    reason = "a kernel over matrices whose sizes are fixed at its door"
)]

use super::strand::{Strand, StrandLook, Strands};
use crate::numeric::math;
use crate::route::Slow;
use nalgebra::{Cholesky, DMatrix, DVector};

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

/// Information on nodes: precision `p`, and `y`, the precision times what was seen.
#[derive(Debug, Clone)]
pub(super) struct NodeInformation {
    pub(super) p: DMatrix<f64>,
    pub(super) y: DVector<f64>,
    /// The squares of what was seen, weighed.
    zz: f64,
    /// Logarithm of the determinant of the errors, the offset taken out.
    log_det: f64,
}

impl NodeInformation {
    fn none(n: usize) -> Self {
        Self {
            p: DMatrix::zeros(n, n),
            y: DVector::zeros(n),
            zz: 0.0,
            log_det: 0.0,
        }
    }

    /// Adds a strand: its looks brought to the nodes by straight lines between them, its slow errors taken out by a filter in its clock (R. E. Kalman 1960: what each look says
    /// beyond those before it), its offset and what its looks share projected out. `out`: reaches whose looks are left out.
    fn add(&mut self, strand: &Strand, node_m: &[f64], scale: VarianceFactors, out: &[(f64, f64)]) {
        let (Some(&low), Some(&high)) = (node_m.first(), node_m.last()) else {
            return;
        };
        let inside = |s: &StrandLook| {
            s.station_m >= low - 1e-9
                && s.station_m <= high + 1e-9
                && out
                    .iter()
                    .all(|(a, b)| s.station_m < *a || s.station_m > *b)
        };
        let n = node_m.len();
        let offset = usize::from(strand.is_free);
        // Columns: the nodes, the offset, what is shared, what was seen.
        let seen = n + offset + strand.shared.len();
        let columns = seen + 1;
        let mut slow = Filter::new(strand, scale, columns);
        let mut g = vec![0.0; columns * columns];
        let mut row = vec![0.0; columns];
        let (mut first, mut last) = (usize::MAX, 0);
        let mut count = 0;
        for (i, spot) in strand.spots.iter().enumerate().filter(|(_, s)| inside(s)) {
            let (node, share) = between(node_m, spot.station_m);
            if slow.is_none() {
                (first, last) = (node, node + 1);
            } else {
                (first, last) = (first.min(node), last.max(node + 1));
            }
            row[first..=last].fill(0.0);
            row[node] = 1.0 - share;
            row[node + 1] = share;
            if strand.is_free {
                row[n] = 1.0;
            }
            for (k, f) in strand.shared.iter().enumerate() {
                row[n + offset + k] = f[i];
            }
            row[seen] = spot.value_m;
            let variance = slow.beyond(spot, &mut row, (first, last), n);
            self.log_det += math::ln(variance);
            count += 1;
            let weight = 1.0 / variance;
            for a in (first..=last).chain(n..columns) {
                let by = row[a] * weight;
                let line = &mut g[a * columns..(a + 1) * columns];
                if a <= last {
                    for (cell, r) in line[a..=last].iter_mut().zip(&row[a..=last]) {
                        *cell += by * r;
                    }
                }
                let from = a.max(n);
                for (cell, r) in line[from..].iter_mut().zip(&row[from..]) {
                    *cell += by * r;
                }
            }
        }
        if count < 2 {
            return;
        }
        // The offset is not known at all; what is shared is one standard normal each.
        for k in n..seen {
            let pivot = g[k * columns + k] + if k < n + offset { 0.0 } else { 1.0 };
            if pivot < 1e-12 {
                continue;
            }
            self.log_det += math::ln(pivot);
            let at = |a: usize| {
                if a <= k {
                    a * columns + k
                } else {
                    k * columns + a
                }
            };
            let line: Vec<f64> = (0..columns)
                .map(|a| if a == k { 0.0 } else { g[at(a)] })
                .collect();
            for a in 0..columns {
                let by = line[a] / pivot;
                if by != 0.0 {
                    for (cell, l) in g[a * columns + a..(a + 1) * columns]
                        .iter_mut()
                        .zip(&line[a..])
                    {
                        *cell -= by * l;
                    }
                }
            }
        }
        for a in 0..n {
            for b in a..n {
                let value = g[a * columns + b];
                self.p[(a, b)] += value;
                if a != b {
                    self.p[(b, a)] += value;
                }
            }
            self.y[a] += g[a * columns + seen];
        }
        self.zz += g[seen * columns + seen];
    }
}

/// The slow errors of a strand, followed from look to look for every column at once.
struct Filter {
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

impl Filter {
    fn new(strand: &Strand, scale: VarianceFactors, columns: usize) -> Self {
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

    fn is_none(&self) -> bool {
        self.states == 0
    }

    /// Takes off a row of columns what the looks before it foretell, and gives the variance of what is left.
    fn beyond(
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
            for (i, sees) in sees.iter().enumerate().filter(|(_, s)| **s != 0.0) {
                let mean = &self.mean[i * self.columns..][range.clone()];
                for (r, m) in row[range.clone()].iter_mut().zip(mean) {
                    *r -= sees * m;
                }
            }
            for (i, gain) in gain.iter().enumerate() {
                let by = gain / variance;
                let mean = &mut self.mean[i * self.columns..][range.clone()];
                for (m, r) in mean.iter_mut().zip(&row[range.clone()]) {
                    *m += by * r;
                }
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
            if slow.smooth {
                for range in [first..last + 1, nodes..columns] {
                    for c in range {
                        let (a, b) = (self.mean[i * columns + c], self.mean[(i + 1) * columns + c]);
                        self.mean[i * columns + c] = turn[0] * a + turn[1] * b;
                        self.mean[(i + 1) * columns + c] = turn[2] * a + turn[3] * b;
                    }
                }
            } else {
                for range in [first..last + 1, nodes..columns] {
                    for m in &mut self.mean[i * columns..][range] {
                        *m *= keep;
                    }
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

/// The node below a station and the share of the way to the next.
fn between(node_m: &[f64], s: f64) -> (usize, f64) {
    let i = node_m
        .partition_point(|&n| n <= s)
        .saturating_sub(1)
        .min(node_m.len() - 2);
    (
        i,
        ((s - node_m[i]) / (node_m[i + 1] - node_m[i])).clamp(0.0, 1.0),
    )
}

/// What both surveys say of the difference on nodes, the ground taken out: precision `q`, and `v`, which is `q` times the difference.
#[derive(Debug, Clone)]
pub(super) struct NodeDifferences {
    pub(super) q: DMatrix<f64>,
    pub(super) v: DVector<f64>,
}

/// The ground of its own beside what was seen: it bends with a strength of `bend`, m2/m3, about the earlier line, and its level is not known.
fn ground(node_m: &[f64], bend: f64) -> DMatrix<f64> {
    const LEVEL_SD_M: f64 = 300.0;
    let n = node_m.len();
    let mut k = DMatrix::from_diagonal_element(n, n, 1.0 / (LEVEL_SD_M * LEVEL_SD_M));
    for i in 1..n.saturating_sub(1) {
        let (a, b) = (node_m[i] - node_m[i - 1], node_m[i + 1] - node_m[i]);
        let row = [1.0 / a, -1.0 / a - 1.0 / b, 1.0 / b];
        let info = 3.0 / (bend * (a + b));
        for x in 0..3 {
            for y in 0..3 {
                k[(i - 1 + x, i - 1 + y)] += row[x] * row[y] * info;
            }
        }
    }
    k
}

/// Both surveys' information, the earlier first; `moved`: reaches whose later looks are left out.
fn weighed(
    strands: &Strands,
    node_m: &[f64],
    scales: [VarianceFactors; 2],
    moved: &[(f64, f64)],
) -> [NodeInformation; 2] {
    let n = node_m.len();
    let mut both = [NodeInformation::none(n), NodeInformation::none(n)];
    for ((all, scale), (weighed, out)) in strands
        .iter()
        .zip(scales)
        .zip(both.iter_mut().zip([&[][..], moved]))
    {
        for strand in all {
            weighed.add(strand, node_m, scale, out);
        }
    }
    both
}

/// Twice the negative logarithm of the likelihood of everything that was seen where nothing moved, the ground and the offsets taken out; not a number where the figures give none.
pub(super) fn cost(
    strands: &Strands,
    node_m: &[f64],
    scales: [VarianceFactors; 2],
    bend: f64,
    moved: &[(f64, f64)],
) -> f64 {
    let [b, a] = weighed(strands, node_m, scales, moved);
    let Some(factor) = Cholesky::new(&a.p + &b.p + ground(node_m, bend)) else {
        return f64::NAN;
    };
    let y = &a.y + &b.y;
    let l = factor.l_dirty();
    let log_det: f64 = 2.0 * (0..y.len()).map(|i| math::ln(l[(i, i)])).sum::<f64>();
    a.log_det + b.log_det + log_det + a.zz + b.zz - y.dot(&factor.solve(&y))
}

/// Both surveys on the nodes. `None` where the figures give no answer.
pub(super) fn held(
    strands: &Strands,
    node_m: &[f64],
    scales: [VarianceFactors; 2],
    bend: f64,
) -> Option<NodeDifferences> {
    let n = node_m.len();
    if n < 3 {
        return None;
    }
    let [b, a] = weighed(strands, node_m, scales, &[]);
    let factor = Cholesky::new(&a.p + &b.p + ground(node_m, bend))?;
    let solved = factor.solve(&(&a.y + &b.y));
    // q = pa - pa (pa + pb + k)^-1 pa = pa - x'x with x = l^-1 pa.
    let l = factor.l();
    let mut x = a.p.clone();
    l.solve_lower_triangular_mut(&mut x);
    let mut q = a.p.clone();
    for i in 0..n {
        for k in 0..=i {
            let d = x.column(i).dot(&x.column(k));
            q[(i, k)] -= d;
            if i != k {
                q[(k, i)] -= d;
            }
        }
    }
    let mut v = a.y.clone();
    for i in 0..n {
        v[i] -= a.p.column(i).dot(&solved);
    }
    Some(NodeDifferences { q, v })
}
