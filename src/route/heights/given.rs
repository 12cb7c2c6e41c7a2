#![expect(
    clippy::indexing_slicing,
    reason = "a kernel over fronts whose sizes the layout has fixed"
)]

use super::gather::{Gathered, LN_2PI};
use super::layout::Layout;
use crate::numeric::math;

/// Replaces the two unknowns of the node that is taken out (positions 0 and 1) by what the ground does of its own between both nodes, and adds how freely it may.
///
/// The second derivative of the ground is white with strength `q`, m2/m3: over a step h the end given the start has variance q [h3/3, h2/2; h2/2, h]. With `by` = -h the left node is the right one carried back, with `by` = h the right node is the left one carried on, each plus its own part.
/// Taking out that own part instead of the node itself keeps small numbers small: close nodes of a stiff ground would else leave the level as a difference of huge numbers.
pub(super) fn add_ground(front: &mut [f64], side: usize, t: usize, by: f64, q: f64) {
    let (z, s) = (t, t + 1);
    let (row0, rest) = front.split_at_mut(side);
    let (row1, below) = rest.split_at_mut(side);
    let old = [row0[z], row0[s], row1[z], row1[s]];
    // Every other unknown, the right-hand side among them.
    for i in (2..t).chain(t + 2..side) {
        let (a, b) = (row0[i], row1[i]);
        let (at_z, at_s) = if i < t {
            ((i - 2) * side + z, (i - 2) * side + s)
        } else {
            ((z - 2) * side + i, (s - 2) * side + i)
        };
        below[at_z] += a;
        below[at_s] += by * a + b;
    }
    row0[z] += row0[0];
    row0[s] += by * row0[0] + row0[1];
    row1[z] += row0[1];
    row1[s] += by * row0[1] + row1[1];
    below[(z - 2) * side + z] += old[0] + row0[z];
    below[(z - 2) * side + s] += by * old[0] + old[2] + row0[s];
    below[(s - 2) * side + s] += by * (old[1] + row0[s]) + old[3] + row1[s];
    let h = by.abs();
    row0[0] += 12.0 / (q * h * h * h);
    row0[1] -= 6.0 / (q * h * by);
    row1[1] += 4.0 / (q * h);
}

/// Logarithm of the normaliser of `add_ground`.
pub(super) fn ground_scale(h: f64, q: f64) -> f64 {
    -(LN_2PI + math::ln(q) + 2.0 * math::ln(h) - 0.5 * math::ln(12f64))
}

/// Information below which nothing is known of an unknown: a height to 30 km.
const LEAST_INFO: f64 = 1e-9;

/// Takes the first unknowns out of a front; returns minus half the logarithm of the pivots' product, with its 2 pi.
///
/// What is left stands in the lower right block; the rows taken stay above it, ready for drawing.
pub(super) fn take_out(front: &mut [f64], side: usize, count: usize) -> f64 {
    let mut product = 1.0;
    for p in 0..count {
        let (above, below) = front.split_at_mut((p + 1) * side);
        let row = &mut above[p * side..];
        // Readings that contradict each other by hundreds of metres can round an unknown's whole information away: nothing is known of it then, and nothing follows from it.
        if row[p] < LEAST_INFO || row[p].is_nan() {
            row[p..].fill(0.0);
            row[p] = LEAST_INFO;
        }
        let pivot = row[p];
        product *= pivot;
        let inverse = 1.0 / pivot;
        for i in p + 1..side {
            let f = row[i] * inverse;
            if f != 0.0 {
                let start = (i - p - 1) * side;
                let target = &mut below[start + i..start + side];
                for (t, r) in target.iter_mut().zip(&row[i..]) {
                    *t -= f * r;
                }
            }
        }
    }
    0.5 * (count as f64 * LN_2PI - math::ln(product))
}

/// What is known from one side, as a block inside a larger store.
#[derive(Debug, Clone, Copy)]
pub(super) struct Message<'a> {
    pub(super) front: &'a [f64],
    pub(super) side: usize,
    /// First row and column of the block.
    pub(super) from: usize,
}

impl Message<'_> {
    /// Adds the block to a front through a map of positions.
    pub(super) fn add_to(&self, front: &mut [f64], side: usize, map: &[usize]) {
        let n = self.side - self.from;
        let at = |i: usize| map.get(i).copied().unwrap_or(side - 1);
        for i in 0..n {
            let row = &self.front[(self.from + i) * self.side + self.from..];
            let a = at(i);
            for (k, value) in row.iter().enumerate().take(n).skip(i) {
                let b = at(k);
                let to = if a <= b { a * side + b } else { b * side + a };
                front[to] += value;
            }
        }
    }
}

/// One step from the left: what is known left of it, the step's own, and the ground of strength `q`; then everything left of the right node is taken out.
pub(super) fn step_forward(
    layout: &Layout,
    gathered: &Gathered,
    j: usize,
    q: f64,
    left: Option<Message<'_>>,
    out: &mut [f64],
) -> f64 {
    let step = &layout.steps[j];
    let side = step.size + 1;
    out.copy_from_slice(&gathered.forward[layout.start[j]..layout.start[j + 1]]);
    let t = step.taken_forward;
    if let Some(left) = left {
        left.add_to(out, side, &step.from_left);
    }
    add_ground(out, side, t, -step.length_m, q);
    ground_scale(step.length_m, q) + take_out(out, side, t)
}

/// One step from the right; see `step_forward`.
pub(super) fn step_backward(
    layout: &Layout,
    gathered: &Gathered,
    j: usize,
    q: f64,
    right: Option<Message<'_>>,
    out: &mut [f64],
) -> f64 {
    let step = &layout.steps[j];
    let side = step.size + 1;
    out.copy_from_slice(&gathered.backward[layout.start[j]..layout.start[j + 1]]);
    let t = step.taken_backward;
    if let Some(right) = right {
        right.add_to(out, side, &step.from_right);
    }
    add_ground(out, side, t, step.length_m, q);
    ground_scale(step.length_m, q) + take_out(out, side, t)
}

/// Runs up the whole line from its end; `fronts` then holds, for each step, what is known right of its left node.
pub(super) fn backward(
    layout: &Layout,
    gathered: &Gathered,
    q: impl Fn(usize) -> f64,
    fronts: &mut Vec<f64>,
) {
    fronts.resize(layout.start.last().copied().unwrap_or(0), 0.0);
    for j in (0..layout.steps.len()).rev() {
        let (head, tail) = fronts.split_at_mut(layout.start[j + 1]);
        let right = layout.steps.get(j + 1).map(|s| Message {
            front: &tail[..layout.start[j + 2] - layout.start[j + 1]],
            side: s.size + 1,
            from: s.taken_backward,
        });
        step_backward(
            layout,
            gathered,
            j,
            q(j),
            right,
            &mut head[layout.start[j]..],
        );
    }
}

/// Fronts of a forward run, ready for means and draws, with the log evidence.
#[derive(Debug, Clone, Default)]
pub(super) struct Run {
    pub(super) fronts: Vec<f64>,
    /// Logarithm that each step gave.
    pub(super) logs: Vec<f64>,
}

impl Run {
    /// What is known left of a node after this run.
    pub(super) fn left_of<'a>(&'a self, layout: &Layout, node: usize) -> Option<Message<'a>> {
        let j = node.checked_sub(1)?;
        let step = &layout.steps[j];
        Some(Message {
            front: &self.fronts[layout.start[j]..layout.start[j + 1]],
            side: step.size + 1,
            from: step.taken_forward,
        })
    }

    /// Runs down the whole line with the roughness of each step given; the result is the log evidence.
    pub(super) fn forward(
        &mut self,
        layout: &Layout,
        gathered: &Gathered,
        q: impl Fn(usize) -> f64,
    ) -> f64 {
        self.fronts
            .resize(layout.start.last().copied().unwrap_or(0), 0.0);
        self.logs.resize(layout.steps.len(), 0.0);
        for j in 0..layout.steps.len() {
            let (done, rest) = self.fronts.split_at_mut(layout.start[j]);
            let left = j.checked_sub(1).map(|i| Message {
                front: &done[layout.start[i]..],
                side: layout.steps[i].size + 1,
                from: layout.steps[i].taken_forward,
            });
            let out = &mut rest[..layout.start[j + 1] - layout.start[j]];
            self.logs[j] = step_forward(layout, gathered, j, q(j), left, out);
        }
        self.evidence(layout, gathered)
    }

    /// Takes the last node out (on a copy) and sums up.
    pub(super) fn evidence(&self, layout: &Layout, gathered: &Gathered) -> f64 {
        let Some(mut last) = self.last(layout) else {
            return 0.0;
        };
        let side = 3;
        let log = take_out(&mut last, side, 2);
        gathered.log_scale + self.logs.iter().sum::<f64>() + log - 0.5 * last[side * side - 1]
    }

    /// The front of the last node alone: height, slope, right-hand side.
    fn last(&self, layout: &Layout) -> Option<[f64; 9]> {
        let message = self.left_of(layout, layout.steps.len())?;
        let mut last = [0.0; 9];
        message.add_to(&mut last, 3, &[0, 1]);
        Some(last)
    }

    /// Heights and slopes at the nodes, most likely (`normal` gives 0 and `mean` is true) or one deviation from it (`mean` false).
    ///
    /// `out`: two values a node.
    pub(super) fn back(
        &self,
        layout: &Layout,
        mean: bool,
        mut normal: impl FnMut() -> f64,
        out: &mut [f64],
    ) {
        let n = layout.steps.len();
        let rhs = if mean { 1.0 } else { 0.0 };
        let Some(mut last) = self.last(layout) else {
            return;
        };
        take_out(&mut last, 3, 2);
        let mut draw = |row: &[f64], p: usize, side: usize, x: &[f64]| -> f64 {
            let mut sum = rhs * row[side - 1];
            for (r, v) in row[p + 1..side - 1].iter().zip(&x[p + 1..]) {
                sum -= r * v;
            }
            sum / row[p] + normal() / row[p].sqrt()
        };
        let mut right = vec![0.0; 2];
        right[1] = draw(&last[3..6], 1, 3, &right);
        right[0] = draw(&last[0..3], 0, 3, &right);
        out[2 * n..2 * n + 2].copy_from_slice(&right);
        let mut here: Vec<f64> = Vec::new();
        for j in (0..n).rev() {
            let step = &layout.steps[j];
            let side = step.size + 1;
            let front = &self.fronts[layout.start[j]..layout.start[j + 1]];
            here.clear();
            here.resize(step.size, 0.0);
            here[step.taken_forward..].copy_from_slice(&right);
            for p in (0..step.taken_forward).rev() {
                here[p] = draw(&front[p * side..(p + 1) * side], p, side, &here);
            }
            // The left node is the right one carried back plus the ground's own part.
            here[0] += right[0] - step.length_m * right[1];
            here[1] += right[1];
            out[2 * j..2 * j + 2].copy_from_slice(&here[..2]);
            right.clear();
            right.extend(step.from_left.iter().map(|&i| here[i]));
        }
    }
}
