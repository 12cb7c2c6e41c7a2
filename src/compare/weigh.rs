//! What strands say of the nodes of a window, as information: precision and what it points to.
#![expect(
    clippy::indexing_slicing,
    reason = "a kernel over matrices whose sizes are fixed at its door"
)]

use super::slow_filter::{SlowFilter, VarianceFactors};
use super::strand::{Strand, StrandLook, Strands};
use crate::numeric::math;
use multiversion::multiversion;
use nalgebra::{Cholesky, DMatrix, DVector};
use std::cell::RefCell;
use std::rc::Rc;

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

    /// Adds a strand: its looks brought to the nodes by straight lines between them, its slow errors taken out by a filter in its clock, its offset and what its looks share projected out. `out`: reaches whose looks are left out.
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
        let mut slow = SlowFilter::new(strand, scale, columns);
        let mut g = vec![0.0; columns * columns];
        let mut rows = RowBlock::new(n, columns);
        let (mut first, mut last) = (usize::MAX, 0);
        let mut count = 0;
        for (i, spot) in strand.spots.iter().enumerate().filter(|(_, s)| inside(s)) {
            let (node, share) = between(node_m, spot.station_m);
            if slow.is_none() {
                (first, last) = (node, node + 1);
            } else {
                (first, last) = (first.min(node), last.max(node + 1));
            }
            let row = rows.next(&mut g, (first, last));
            row[node] = 1.0 - share;
            row[node + 1] = share;
            if strand.is_free {
                row[n] = 1.0;
            }
            for (k, f) in strand.shared.iter().enumerate() {
                row[n + offset + k] = f[i];
            }
            row[seen] = spot.value_m;
            let variance = slow.beyond(spot, row, (first, last), n);
            rows.weigh(1.0 / variance);
            self.log_det += math::ln(variance);
            count += 1;
        }
        rows.end(&mut g);
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

/// Rows of looks before their squares are summed: some at once, since each sum is read and written for them all only once.
struct RowBlock {
    rows: Vec<f64>,
    weights: [f64; TOGETHER],
    count: usize,
    nodes: usize,
    columns: usize,
    /// First and last node that the rows touch.
    touched: (usize, usize),
}

/// Rows that are summed at once.
const TOGETHER: usize = 4;

impl RowBlock {
    fn new(nodes: usize, columns: usize) -> Self {
        Self {
            rows: vec![0.0; TOGETHER * columns],
            weights: [0.0; TOGETHER],
            count: 0,
            nodes,
            columns,
            touched: (usize::MAX, 0),
        }
    }

    /// An empty row that touches these nodes.
    fn next(&mut self, g: &mut [f64], (first, last): (usize, usize)) -> &mut [f64] {
        if self.count == TOGETHER {
            self.end(g);
        }
        self.touched = (self.touched.0.min(first), self.touched.1.max(last));
        self.count += 1;
        let row = &mut self.rows[(self.count - 1) * self.columns..][..self.columns];
        row.fill(0.0);
        row
    }

    fn weigh(&mut self, weight: f64) {
        self.weights[self.count - 1] = weight;
    }

    /// Sums what stands in it.
    fn end(&mut self, g: &mut [f64]) {
        let (low, high) = self.touched;
        let columns = self.columns;
        self.weights[self.count..].fill(0.0);
        self.rows[self.count * columns..].fill(0.0);
        let rows: [&[f64]; TOGETHER] =
            std::array::from_fn(|k| &self.rows[k * columns..(k + 1) * columns]);
        for a in (low..=high).chain(self.nodes..columns) {
            let by = std::array::from_fn(|k| rows[k][a] * self.weights[k]);
            let line = &mut g[a * columns..(a + 1) * columns];
            if a <= high {
                added(&mut line[a..=high], rows.map(|r| &r[a..=high]), by);
            }
            let from = a.max(self.nodes);
            added(&mut line[from..], rows.map(|r| &r[from..]), by);
        }
        self.count = 0;
        self.touched = (usize::MAX, 0);
    }
}

/// Adds so many times each of some rows, one after the other.
#[multiversion(targets("x86_64+avx+avx2"))]
fn added(sums: &mut [f64], rows: [&[f64]; TOGETHER], by: [f64; TOGETHER]) {
    let n = sums.len();
    let [a, b, c, d] = rows;
    let (a, b, c, d) = (&a[..n], &b[..n], &c[..n], &d[..n]);
    for i in 0..n {
        sums[i] = sums[i] + by[0] * a[i] + by[1] * b[i] + by[2] * c[i] + by[3] * d[i];
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

/// A survey's information; `out`: reaches whose looks are left out.
fn weighed(
    survey: &[Strand],
    node_m: &[f64],
    scale: VarianceFactors,
    out: &[(f64, f64)],
) -> NodeInformation {
    let mut weighed = NodeInformation::none(node_m.len());
    for strand in survey {
        weighed.add(strand, node_m, scale, out);
    }
    weighed
}

/// A survey's information and the factors it was told with.
type KeptInformation = (VarianceFactors, Rc<NodeInformation>);

/// How likely everything is that was seen in a window, by how wide the surveys err.
pub(super) struct WindowLikelihood<'a> {
    pub(super) strands: &'a Strands,
    pub(super) node_m: &'a [f64],
    pub(super) bend: f64,
    /// Reaches whose later looks are left out.
    pub(super) moved: &'a [(f64, f64)],
    /// What each survey gave last, the newest at the end: a slope asks one survey's factors after the other.
    pub(super) kept: [RefCell<Vec<KeptInformation>>; 2],
}

impl WindowLikelihood<'_> {
    /// So much is kept of a survey.
    const KEPT: usize = 4;

    fn survey(&self, which: usize, scale: VarianceFactors) -> Rc<NodeInformation> {
        let mut kept = self.kept[which].borrow_mut();
        let (scale, weighed) = match kept.iter().position(|k| k.0 == scale) {
            Some(at) => kept.remove(at),
            None => {
                let out = [&[][..], self.moved][which];
                let weighed = weighed(&self.strands[which], self.node_m, scale, out);
                (scale, Rc::new(weighed))
            }
        };
        if kept.len() >= Self::KEPT {
            kept.remove(0);
        }
        kept.push((scale, Rc::clone(&weighed)));
        weighed
    }

    /// Twice the negative logarithm of the likelihood of everything that was seen where nothing moved, the ground and the offsets taken out; not a number where the figures give none.
    pub(super) fn cost(&self, scales: [VarianceFactors; 2]) -> f64 {
        let [b, a] = [0, 1].map(|which| self.survey(which, scales[which]));
        let Some(factor) = Cholesky::new(&a.p + &b.p + ground(self.node_m, self.bend)) else {
            return f64::NAN;
        };
        let y = &a.y + &b.y;
        let l = factor.l_dirty();
        let log_det: f64 = 2.0 * (0..y.len()).map(|i| math::ln(l[(i, i)])).sum::<f64>();
        a.log_det + b.log_det + log_det + a.zz + b.zz - y.dot(&factor.solve(&y))
    }
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
    let [b, a] = [0, 1].map(|which| weighed(&strands[which], node_m, scales[which], &[]));
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
