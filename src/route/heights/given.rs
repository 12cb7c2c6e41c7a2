#![expect(
    clippy::indexing_slicing,
    reason = "a kernel over fronts whose sizes the layout has fixed"
)]

use super::gather::{Gathered, LN_2PI, add};
use super::layout::Layout;

/// Adds the ground between two nodes: the second derivative is white with strength `q`, m2/m3, so that a step's end given its start has variance q [h3/3, h2/2; h2/2, h].
pub(super) fn add_ground(
    front: &mut [f64],
    side: usize,
    [z0, s0, z1, s1]: [usize; 4],
    h: f64,
    q: f64,
) {
    let (a, b, c) = (12.0 / (q * h * h * h), -6.0 / (q * h * h), 4.0 / (q * h));
    // e = [z1 - z0 - h s0, s1 - s0] under the inverse [a b; b c].
    add(front, side, z0, z0, a);
    add(front, side, z0, s0, a * h + b);
    add(front, side, s0, s0, a * h * h + 2.0 * b * h + c);
    add(front, side, z0, z1, -a);
    add(front, side, z0, s1, -b);
    add(front, side, s0, z1, -(a * h + b));
    add(front, side, s0, s1, -(b * h + c));
    add(front, side, z1, z1, a);
    add(front, side, z1, s1, b);
    add(front, side, s1, s1, c);
}

/// Logarithm of the normaliser of `add_ground`.
pub(super) fn ground_scale(h: f64, q: f64) -> f64 {
    -(LN_2PI + q.ln() + 2.0 * h.ln() - 0.5 * 12f64.ln())
}

/// Takes the first unknowns out of a front; returns minus half the logarithm of the pivots' product, with its 2 pi.
///
/// What is left stands in the lower right block; the rows taken stay above it, ready for drawing.
pub(super) fn take_out(front: &mut [f64], side: usize, count: usize) -> f64 {
    let mut product = 1.0;
    for p in 0..count {
        let (above, below) = front.split_at_mut((p + 1) * side);
        let row = &above[p * side..];
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
    0.5 * (count as f64 * LN_2PI - product.ln())
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
    add_ground(out, side, [0, 1, t, t + 1], step.length_m, q);
    if let Some(left) = left {
        left.add_to(out, side, &step.from_left);
    }
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
    add_ground(out, side, [t, t + 1, 0, 1], step.length_m, q);
    if let Some(right) = right {
        right.add_to(out, side, &step.from_right);
    }
    ground_scale(step.length_m, q) + take_out(out, side, t)
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
            out[2 * j..2 * j + 2].copy_from_slice(&here[..2]);
            right.clear();
            right.extend(step.from_left.iter().map(|&i| here[i]));
        }
    }
}
