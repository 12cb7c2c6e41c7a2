#![expect(
    clippy::indexing_slicing,
    reason = "a kernel over fronts whose sizes the layout has fixed"
)]

use super::gather::GatheredForms;
use super::layout::{Layout, side_of};
use super::onward::LN_2PI;
use crate::numeric::math;
use multiversion::multiversion;

/// Replaces the height and slope of one node (places `o`, `o + 1`) by what the ground does of its own between it and the other node (places `t`, `t + 1`, later).
///
/// The second derivative of the ground is white with strength `q`, m2/m3: over a step h the end given the start has variance q [h3/3, h2/2; h2/2, h]. With `by` = -h the left node is the right one carried back, with `by` = h the right node is the left one carried on, each plus its own part.
/// Taking out that own part instead of the node itself keeps small numbers small: close nodes of a stiff ground would else leave the level as a difference of huge numbers.
fn own_part(front: &mut [f64], side: usize, o: usize, t: usize, by: f64) {
    let place = |i: usize, k: usize| if i <= k { i * side + k } else { k * side + i };
    let old = [
        front[place(o, t)],
        front[place(o, t + 1)],
        front[place(o + 1, t)],
        front[place(o + 1, t + 1)],
    ];
    for i in (0..o).chain(o + 2..t).chain(t + 2..side) {
        let (a, b) = (front[place(o, i)], front[place(o + 1, i)]);
        if a != 0.0 || b != 0.0 {
            front[place(i, t)] += a;
            front[place(i, t + 1)] += by * a + b;
        }
    }
    let (zz, zs, ss) = (
        front[place(o, o)],
        front[place(o, o + 1)],
        front[place(o + 1, o + 1)],
    );
    let new = [
        old[0] + zz,
        old[1] + by * zz + zs,
        old[2] + zs,
        old[3] + by * zs + ss,
    ];
    front[place(t, t)] += old[0] + new[0];
    front[place(t, t + 1)] += by * old[0] + old[2] + new[1];
    front[place(t + 1, t + 1)] += by * (old[1] + new[1]) + old[3] + new[3];
    front[place(o, t)] = new[0];
    front[place(o, t + 1)] = new[1];
    front[place(o + 1, t)] = new[2];
    front[place(o + 1, t + 1)] = new[3];
}

/// Adds how freely the ground may go its own way over a step; see `own_part`.
fn add_ground(front: &mut [f64], side: usize, o: usize, by: f64, q: f64) {
    let h = by.abs();
    front[o * side + o] += 12.0 / (q * h * h * h);
    front[o * side + o + 1] -= 6.0 / (q * h * by);
    front[(o + 1) * side + o + 1] += 4.0 / (q * h);
}

/// Logarithm of the normaliser of `add_ground`.
fn ground_scale(h: f64, q: f64) -> f64 {
    -(LN_2PI + math::ln(q) + 2.0 * math::ln(h) - 0.5 * math::ln(12f64))
}

/// Information below which nothing is known of an unknown: a height to 30 km.
const LEAST_INFO: f64 = 1e-9;

/// Takes the unknowns `from..to` out of a front whose earlier ones are out already, A_rr - A_rp A_pp^-1 A_pr (the Schur complement, one pivot at a time); returns minus half the logarithm of the pivots' product, with its 2 pi.
///
/// What is left stands in the lower right block, its upper half; the rows taken stay above it, ready for drawing. Whole rows are gone over, so that their length is known when the program is built: what stands below the diagonal is overwritten.
pub(super) fn marginalise(front: &mut [f64], side: usize, from: usize, to: usize) -> f64 {
    match side {
        4 => marginalise_in::<4>(front, side, from, to),
        8 => marginalise_in::<8>(front, side, from, to),
        12 => marginalise_in::<12>(front, side, from, to),
        16 => marginalise_in::<16>(front, side, from, to),
        20 => marginalise_in::<20>(front, side, from, to),
        24 => marginalise_in::<24>(front, side, from, to),
        28 => marginalise_in::<28>(front, side, from, to),
        32 => marginalise_in::<32>(front, side, from, to),
        _ => marginalise_in::<ANY>(front, side, from, to),
    }
}

/// A side that is not known when the program is built.
const ANY: usize = 0;

/// So many unknowns go over the rest together: each figure is read and written once for all, in the same order as one by one.
const AT_ONCE: usize = 4;

#[multiversion(targets("x86_64+avx+avx2"))]
fn marginalise_in<const SIDE: usize>(
    front: &mut [f64],
    side: usize,
    from: usize,
    to: usize,
) -> f64 {
    let side = if SIDE == ANY { side } else { SIDE };
    let mut product = 1.0;
    let mut log = 0.0;
    for first in (from..to).step_by(AT_ONCE) {
        let count = AT_ONCE.min(to - first);
        let (above, below) = front.split_at_mut((first + count) * side);
        let pivots = &mut above[first * side..];
        let mut inverse = [0.0; AT_ONCE];
        for (k, inverse) in inverse.iter_mut().enumerate().take(count) {
            let p = first + k;
            let (row, later) = pivots[k * side..].split_at_mut(side);
            // Readings that contradict each other by hundreds of metres can round an unknown's whole information away: nothing is known of it then, and nothing follows from it.
            if row[p] < LEAST_INFO || row[p].is_nan() {
                row[p..].fill(0.0);
                row[p] = LEAST_INFO;
            }
            product *= row[p];
            if !(1e-200..1e200).contains(&product) {
                log -= 0.5 * math::ln(product);
                product = 1.0;
            }
            *inverse = 1.0 / row[p];
            for (i, target) in (p + 1..).zip(later.chunks_exact_mut(side)) {
                less(target, row, row[i] * *inverse, side);
            }
        }
        let row = |k: usize| &pivots[k * side..(k + 1) * side];
        if count == AT_ONCE {
            let rows = [row(0), row(1), row(2), row(3)];
            for (i, target) in (first + count..).zip(below.chunks_exact_mut(side)) {
                let share = |k: usize| rows[k][i] * inverse[k];
                let shares = [share(0), share(1), share(2), share(3)];
                less_four(target, rows[0], rows[1], rows[2], rows[3], shares, side);
            }
        } else {
            for (i, target) in (first + count..).zip(below.chunks_exact_mut(side)) {
                for (k, inverse) in inverse.iter().enumerate().take(count) {
                    less(target, row(k), row(k)[i] * inverse, side);
                }
            }
        }
    }
    log + 0.5 * ((to - from) as f64 * LN_2PI - math::ln(product))
}

/// A share of a row taken off another.
#[inline(always)]
fn less(target: &mut [f64], row: &[f64], share: f64, side: usize) {
    if share == 0.0 {
        return;
    }
    let (target, row) = (&mut target[..side], &row[..side]);
    for i in 0..side {
        target[i] -= share * row[i];
    }
}

/// Shares of four rows taken off another, one after the other.
#[inline(always)]
fn less_four(
    target: &mut [f64],
    a: &[f64],
    b: &[f64],
    c: &[f64],
    d: &[f64],
    shares: [f64; AT_ONCE],
    side: usize,
) {
    if shares == [0.0; AT_ONCE] {
        return;
    }
    let target = &mut target[..side];
    let (a, b, c, d) = (&a[..side], &b[..side], &c[..side], &d[..side]);
    let [f, g, h, e] = shares;
    for i in 0..side {
        target[i] = target[i] - f * a[i] - g * b[i] - h * c[i] - e * d[i];
    }
}

/// What is known from one side, as a block inside a larger store.
#[derive(Debug, Clone, Copy)]
pub(super) struct Message<'a> {
    pub(super) front: &'a [f64],
    pub(super) side: usize,
    /// First row and column of the block, and the one behind it.
    pub(super) from: usize,
    pub(super) to: usize,
}

impl Message<'_> {
    /// Adds the block to a front through a map of positions.
    pub(super) fn add_to(&self, front: &mut [f64], side: usize, map: &[usize]) {
        let map = &map[..self.to - self.from];
        for (i, (own, &a)) in (self.from..self.to).zip(map).enumerate() {
            let row = &self.front[own * self.side..(own + 1) * self.side];
            for (&b, value) in map[i..].iter().zip(&row[own..self.to]) {
                front[if a <= b { a * side + b } else { b * side + a }] += value;
            }
            front[a * side + side - 1] += row[self.side - 1];
        }
        front[side * side - 1] += self.front[self.side * self.side - 1];
    }
}

/// One step from the left: what is known left of it and the step's own; then everything that does not hang on the roughness is taken out.
pub(super) fn lead_on(
    layout: &Layout,
    gathered: &GatheredForms,
    j: usize,
    left: Option<Message<'_>>,
    out: &mut [f64],
) -> f64 {
    let step = &layout.steps[j];
    let side = step.side();
    out.copy_from_slice(&gathered.forward[layout.start[j]..layout.start[j + 1]]);
    if let Some(left) = left {
        left.add_to(out, side, &step.from_left);
    }
    own_part(out, side, step.own(), step.kept(), -step.length_m);
    marginalise(out, side, 0, step.lead)
}

/// The ground of strengths `q` over the cell that ends with a step, laid on its own parts, which stand at `at` in a front; returns the normaliser.
pub(super) fn lay_ground(
    layout: &Layout,
    last: usize,
    q: impl Fn(usize) -> f64,
    front: &mut [f64],
    side: usize,
    at: usize,
) -> f64 {
    let steps = layout.steps[last].passengers / 2;
    let mut log = 0.0;
    for i in 0..=steps {
        let j = last - steps + i;
        let h = layout.steps[j].length_m;
        add_ground(front, side, at + 2 * i, -h, q(j));
        log += ground_scale(h, q(j));
    }
    log
}

/// Takes the own parts of a cell out at its last step, the ground of strength `q`.
pub(super) fn end_cell(
    layout: &Layout,
    last: usize,
    q: impl Fn(usize) -> f64,
    out: &mut [f64],
) -> f64 {
    let step = &layout.steps[last];
    let side = step.side();
    lay_ground(layout, last, q, out, side, step.lead)
        + marginalise(out, side, step.lead, step.kept())
}

/// One step from the right, the ground of strength `q`: everything right of the left node is taken out.
fn step_backward(
    layout: &Layout,
    gathered: &GatheredForms,
    j: usize,
    q: f64,
    right: Option<Message<'_>>,
    out: &mut [f64],
) -> f64 {
    let step = &layout.steps[j];
    let side = step.side_back();
    let (from, to) = (layout.start_back[j], layout.start_back[j + 1]);
    out[..to - from].copy_from_slice(&gathered.backward[from..to]);
    let t = step.taken_backward;
    if let Some(right) = right {
        right.add_to(out, side, &step.from_right);
    }
    own_part(out, side, 0, t, step.length_m);
    add_ground(out, side, 0, step.length_m, q);
    ground_scale(step.length_m, q) + marginalise(out, side, 0, t)
}

/// Runs up the whole line from its end, after `GatheredForms::turn`; `fronts` then holds, for each step, what is known right of its left node.
pub(super) fn backward(
    layout: &Layout,
    gathered: &GatheredForms,
    q: impl Fn(usize) -> f64,
    fronts: &mut Vec<f64>,
) {
    let start = &layout.start_back;
    fronts.resize(start.last().copied().unwrap_or(0), 0.0);
    for j in (0..layout.steps.len()).rev() {
        let (head, tail) = fronts.split_at_mut(start[j + 1]);
        let right = layout
            .steps
            .get(j + 1)
            .map(|_| right_of(layout, tail, start[j + 1], j + 1));
        step_backward(layout, gathered, j, q(j), right, &mut head[start[j]..]);
    }
}

/// What is known right of a step's left node; `fronts` begins at `base` of the store.
fn right_of<'a>(layout: &Layout, fronts: &'a [f64], base: usize, step: usize) -> Message<'a> {
    let start = &layout.start_back;
    let own = &layout.steps[step];
    Message {
        front: &fronts[start[step] - base..start[step + 1] - base],
        side: own.side_back(),
        from: own.taken_backward,
        to: own.size_back(),
    }
}

/// What is known right of a node after a backward run; nothing right of the last one.
pub(super) fn known_right<'a>(
    layout: &Layout,
    fronts: &'a [f64],
    node: usize,
) -> Option<Message<'a>> {
    (node < layout.steps.len()).then(|| right_of(layout, fronts, 0, node))
}

/// Fronts of a forward run, ready for means and draws, with the log evidence.
#[derive(Debug, Clone, Default)]
pub(super) struct ForwardRun {
    pub(super) fronts: Vec<f64>,
    /// Logarithm that each step gave.
    pub(super) logs: Vec<f64>,
}

impl ForwardRun {
    /// What is known left of a node after this run.
    pub(super) fn left_of<'a>(&'a self, layout: &Layout, node: usize) -> Option<Message<'a>> {
        let j = node.checked_sub(1)?;
        Some(left(layout, &self.fronts, j))
    }

    /// Runs down the whole line with the roughness of each step given; the result is the log evidence.
    pub(super) fn forward(
        &mut self,
        layout: &Layout,
        gathered: &GatheredForms,
        q: impl Fn(usize) -> f64,
    ) -> f64 {
        self.fronts
            .resize(layout.start.last().copied().unwrap_or(0), 0.0);
        self.logs.resize(layout.steps.len(), 0.0);
        for j in 0..layout.steps.len() {
            self.lead(layout, gathered, j);
            if layout.steps[j].ends_cell {
                self.end_cell(layout, j, &q);
            }
        }
        self.evidence(layout, gathered)
    }

    /// One step on, up to what hangs on the roughness.
    pub(super) fn lead(&mut self, layout: &Layout, gathered: &GatheredForms, j: usize) {
        let (done, rest) = self.fronts.split_at_mut(layout.start[j]);
        let left = j.checked_sub(1).map(|i| left(layout, done, i));
        let out = &mut rest[..layout.start[j + 1] - layout.start[j]];
        self.logs[j] = lead_on(layout, gathered, j, left, out);
    }

    /// Ends the cell of a step with the roughness given.
    pub(super) fn end_cell(&mut self, layout: &Layout, j: usize, q: impl Fn(usize) -> f64) {
        let out = &mut self.fronts[layout.start[j]..layout.start[j + 1]];
        self.logs[j] += end_cell(layout, j, q, out);
    }

    /// Takes the last node out (on a copy) and sums up.
    pub(super) fn evidence(&self, layout: &Layout, gathered: &GatheredForms) -> f64 {
        let Some(mut last) = self.last(layout) else {
            return 0.0;
        };
        let side = side_of(2);
        let log = marginalise(&mut last, side, 0, 2);
        gathered.log_scale + self.logs.iter().sum::<f64>() + log - 0.5 * last[side * side - 1]
    }

    /// The front of the last node alone: height, slope, right-hand side.
    fn last(&self, layout: &Layout) -> Option<[f64; 16]> {
        let message = self.left_of(layout, layout.steps.len())?;
        let mut last = [0.0; 16];
        message.add_to(&mut last, side_of(2), &[0, 1]);
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
        let side = side_of(2);
        marginalise(&mut last, side, 0, 2);
        let mut draw = |row: &[f64], p: usize, side: usize, x: &[f64]| -> f64 {
            let mut sum = rhs * row[side - 1];
            for (r, v) in row[p + 1..side - 1].iter().zip(&x[p + 1..]) {
                sum -= r * v;
            }
            sum / row[p] + normal() / row[p].sqrt()
        };
        let mut right = vec![0.0; 2];
        right[1] = draw(&last[side..2 * side], 1, side, &right);
        right[0] = draw(&last[..side], 0, side, &right);
        out[2 * n..2 * n + 2].copy_from_slice(&right);
        let mut here: Vec<f64> = Vec::new();
        for j in (0..n).rev() {
            let step = &layout.steps[j];
            let side = step.side();
            let front = &self.fronts[layout.start[j]..layout.start[j + 1]];
            here.clear();
            here.resize(step.size, 0.0);
            let known = step.handed();
            here[known..].copy_from_slice(&right);
            for p in (0..known).rev() {
                here[p] = draw(&front[p * side..(p + 1) * side], p, side, &here);
            }
            // The left node is the right one carried back plus the ground's own part.
            let (own, kept) = (step.own(), step.kept());
            let (height, slope) = (here[kept], here[kept + 1]);
            here[own] += height - step.length_m * slope;
            here[own + 1] += slope;
            out[2 * j..2 * j + 2].copy_from_slice(&here[own..own + 2]);
            right.clear();
            right.extend(step.from_left.iter().map(|&i| here[i]));
        }
    }
}

/// What is known left of the right node of a step: what its front hands on.
fn left<'a>(layout: &Layout, fronts: &'a [f64], j: usize) -> Message<'a> {
    let step = &layout.steps[j];
    Message {
        front: &fronts[layout.start[j]..layout.start[j + 1]],
        side: step.side(),
        from: step.handed(),
        to: step.size,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::Rng;

    /// A side that was known when the program was built gives what any other gives, to the last bit, in the half that counts; what fills a row changes nothing.
    #[test]
    fn a_known_side_is_any_side() {
        let mut draws = Rng::new(7);
        for unknowns in [2, 6, 11, 14, 18, 22, 26, 30, 40] {
            let side = side_of(unknowns);
            let mut front = vec![0.0; side * side];
            for _ in 0..2 * unknowns {
                let row: Vec<f64> = (0..=unknowns).map(|_| draws.normal()).collect();
                let at = |i: usize| if i == unknowns { side - 1 } else { i };
                for i in 0..=unknowns {
                    for k in i..=unknowns {
                        front[at(i) * side + at(k)] += row[i] * row[k];
                    }
                }
            }
            for to in [1, unknowns / 2, unknowns] {
                let (mut known, mut any) = (front.clone(), front.clone());
                let log = marginalise(&mut known, side, 0, to);
                let log_any = marginalise_in::<ANY>(&mut any, side, 0, to);
                assert_eq!(log.to_bits(), log_any.to_bits(), "{unknowns} {to}");
                for i in 0..side {
                    for k in i..side {
                        let (a, b) = (known[i * side + k], any[i * side + k]);
                        assert_eq!(a.to_bits(), b.to_bits(), "{unknowns} {to}: {i} {k}");
                        let filled = |x: usize| (unknowns..side - 1).contains(&x);
                        assert!(!(filled(i) || filled(k)) || a == 0.0, "{i} {k}");
                    }
                }
            }
        }
    }
}
