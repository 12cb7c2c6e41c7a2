#![expect(
    clippy::indexing_slicing,
    reason = "a kernel over fronts whose sizes the layout has fixed"
)]

use super::layout::{Layout, StepEntry, WalkPiece};
use super::onward::{LN_2PI, Onward, conditional, pass_fast, pass_slow, take_first};
use crate::numeric::math;
use crate::route::receiver::{Errors, STATES};

/// How little is known of the height and the slope at the first node beforehand, m and m per m.
const FIRST_HEIGHT_SD_M: f64 = 100.0;
const FIRST_SLOPE_SD: f64 = 1.0;

/// Everything known but the roughness, gathered on the steps: for each step the quadratic form over its front, and the normalisers.
///
/// A front is a square matrix of side size + 1, upper half: information, right-hand side in the last column, twice the negative constant in the corner.
#[derive(Debug, Clone, Default)]
pub(super) struct GatheredForms {
    pub(super) forward: Vec<f64>,
    pub(super) log_scale: f64,
}

impl GatheredForms {
    pub(super) fn new(layout: &Layout, errors: &[Errors], first_height_m: f64) -> Self {
        let mut out = Self::default();
        out.gather(layout, errors, first_height_m);
        out
    }

    /// Works the readings into the steps anew for other errors, one a walk.
    pub(super) fn gather(&mut self, layout: &Layout, errors: &[Errors], first_height_m: f64) {
        let whole = layout.start.last().copied().unwrap_or(0);
        self.forward.clear();
        self.forward.resize(whole, 0.0);
        let mut log = 0.0;
        let mut scratch = Vec::new();
        for (j, step) in layout.steps.iter().enumerate() {
            let side = step.size + 1;
            let front = &mut self.forward[layout.start[j]..layout.start[j + 1]];
            let own = step.own();
            let ground = [own, own + 1, own + 2, own + 3];
            if j == 0 {
                let mean = [
                    first_height_m - layout.base_at(layout.node_m[0]),
                    -layout.base_slope,
                ];
                for (i, (m, sd)) in mean
                    .into_iter()
                    .zip([FIRST_HEIGHT_SD_M, FIRST_SLOPE_SD])
                    .enumerate()
                {
                    let info = 1.0 / (sd * sd);
                    let at = own + i;
                    front[at * side + at] += info;
                    front[at * side + side - 1] += info * m;
                    front[side * side - 1] += info * m * m;
                    log += 0.5 * (math::ln(info) - LN_2PI);
                }
            }
            for &(at, sd) in &step.born {
                front[at * side + at] += 1.0 / (sd * sd);
                log -= math::ln(sd) + 0.5 * LN_2PI;
            }
            for entry in &step.fixed {
                log += fixed(front, side, ground, entry);
            }
            for piece in &step.pieces {
                let errors = errors.get(piece.chain).copied().unwrap_or_default();
                log += follow(front, side, ground, piece, &errors, &mut scratch);
            }
        }
        self.log_scale = log;
    }
}

/// Adds a value to the upper half.
fn add(front: &mut [f64], side: usize, i: usize, k: usize, value: f64) {
    let (i, k) = if i <= k { (i, k) } else { (k, i) };
    front[i * side + k] += value;
}

/// A known height: information on the ground and, for a levelled reach, its datum.
fn fixed(front: &mut [f64], side: usize, ground: [usize; 4], entry: &StepEntry) -> f64 {
    let info = 1.0 / entry.count;
    let mut at: Vec<(usize, f64)> = ground.into_iter().zip(entry.weight).collect();
    if let Some(offset) = entry.offset {
        at.push((offset, 1.0));
    }
    at.push((side - 1, entry.height_m));
    for (x, &(i, a)) in at.iter().enumerate() {
        for &(k, b) in at.iter().skip(x) {
            add(front, side, i, k, info * a * b);
        }
    }
    0.5 * (math::ln(info) - LN_2PI)
}

/// Most offsets in one piece: walks that share one chain.
const MOST_OFFSETS: usize = 50;

/// Follows one walk's error through a step and adds what its readings say of the ground, the offset and the error at both nodes.
///
/// Local unknowns: [error now: fast, slow, rate | error at the left node | 4 of the ground, offsets.., right-hand side]. Passing from one reading to the next takes the older error out in a form that stands no gap too short.
fn follow(
    front: &mut [f64],
    side: usize,
    ground: [usize; 4],
    piece: &WalkPiece,
    errors: &Errors,
    scratch: &mut Vec<f64>,
) -> f64 {
    let mut log = 0.0;
    let mut product = 1.0;
    // Positions in the front of local unknowns after the error now, right-hand side last.
    let mut map = [0usize; 2 * STATES + 4 + MOST_OFFSETS + 1];
    let mut known = 0;
    if let Some(at) = piece.error_in {
        for (i, m) in map.iter_mut().take(STATES).enumerate() {
            *m = at + i;
        }
        known = STATES;
    }
    let to_ground = STATES + known;
    map[known..known + 4].copy_from_slice(&ground);
    let first_offset = known + 4;
    let mut offsets = 0;
    for entry in &piece.entries {
        if let Some(o) = entry.offset
            && !map[first_offset..first_offset + offsets].contains(&o)
            && offsets < MOST_OFFSETS
        {
            map[first_offset + offsets] = o;
            offsets += 1;
        }
    }
    let w = STATES + first_offset + offsets + 1;
    let rhs = w - 1;
    map[rhs - STATES] = side - 1;
    if piece.entries.is_empty() {
        if let (Some(from), Some(to)) = (piece.error_in, piece.error_out) {
            let onward = Onward::new(errors, piece.tail_s).apart(errors);
            log += conditional(&onward, |i, k, value| {
                let at = |i: usize| {
                    if i < STATES {
                        to + i
                    } else {
                        from + i - STATES
                    }
                };
                add(front, side, at(i), at(k), value);
            });
        }
        return log;
    }
    scratch.clear();
    scratch.resize(w * w, 0.0);
    let a = scratch.as_mut_slice();
    let white_info = 1.0 / (errors.white_sd_m * errors.white_sd_m);
    for (n, entry) in piece.entries.iter().enumerate() {
        if n > 0 {
            if entry.gap_s > 0.0 {
                let onward = Onward::new(errors, entry.gap_s);
                product *= pass_fast(a, w, &onward) * pass_slow(a, w, &onward);
            }
        } else if piece.error_in.is_some() {
            let onward = Onward::new(errors, entry.gap_s).apart(errors);
            log += conditional(&onward, |i, k, value| add(a, w, i, k, value));
        } else {
            let slow = errors.slow_sd_m * errors.slow_sd_m;
            let rate = errors.per_s();
            let variance = [
                errors.fast_sd_m * errors.fast_sd_m,
                slow,
                slow * rate * rate,
            ];
            for (i, v) in variance.into_iter().enumerate() {
                a[i * w + i] += 1.0 / v;
                product *= v;
            }
            log -= 0.5 * STATES as f64 * LN_2PI;
        }
        let info = entry.count * white_info;
        product /= info;
        log -= 0.5 * LN_2PI;
        let [g0, g1, g2, g3] = entry.weight;
        let mut row = [
            (0, 1.0),
            (1, 1.0),
            (to_ground, g0),
            (to_ground + 1, g1),
            (to_ground + 2, g2),
            (to_ground + 3, g3),
            (rhs, entry.height_m),
            (rhs, 0.0),
        ];
        if let Some(o) = entry.offset
            && let Some(at) = map[first_offset..first_offset + offsets]
                .iter()
                .position(|&x| x == o)
        {
            row[7] = row[6];
            row[6] = (STATES + first_offset + at, 1.0);
        }
        let seen = &row[..if entry.offset.is_some() { 8 } else { 7 }];
        for (x, &(i, p)) in seen.iter().enumerate() {
            let f = info * p;
            for &(k, q) in &seen[x..] {
                a[i * w + k] += f * q;
            }
        }
        if !(1e-150..1e150).contains(&product) {
            log -= 0.5 * math::ln(product);
            product = 1.0;
        }
    }
    let mut from = STATES;
    if let Some(out) = piece.error_out {
        if piece.tail_s > 0.0 {
            let onward = Onward::new(errors, piece.tail_s);
            product *= pass_fast(a, w, &onward) * pass_slow(a, w, &onward);
        }
        // What is now in the first places is the error at the right node.
        map.copy_within(0..w - STATES, STATES);
        for (i, m) in map.iter_mut().take(STATES).enumerate() {
            *m = out + i;
        }
        from = 0;
    } else {
        // The walk ends here: its last error is taken out.
        product *= take_first(a, w, STATES);
        log += 0.5 * STATES as f64 * LN_2PI;
    }
    let map = &map[..w - from];
    for i in from..w {
        for k in i..w {
            let value = a[i * w + k];
            if value != 0.0 {
                add(front, side, map[i - from], map[k - from], value);
            }
        }
    }
    log - 0.5 * math::ln(product)
}
