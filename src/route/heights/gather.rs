#![expect(
    clippy::indexing_slicing,
    reason = "a kernel over fronts whose sizes the layout has fixed"
)]

use super::layout::{Entry, Layout, Piece};
use crate::numeric::math;

pub(super) const LN_2PI: f64 = 1.837_877_066_409_345_5;
/// Shortest time between two points of a drift, s: keeps a reading that stands exactly on a node from being infinitely sure of its neighbour.
const LEAST_GAP_S: f64 = 1e-6;
/// How little is known of the height and the slope at the first node beforehand, m and m per m.
const FIRST_HEIGHT_SD_M: f64 = 100.0;
const FIRST_SLOPE_SD: f64 = 1.0;

/// Noise numbers, as natural logarithms: drift's standard deviation (m), its time (s), white part of a reading (m).
pub(super) type Theta = [f64; 3];

/// Everything known but the roughness, gathered on the steps: for each step the quadratic form over its front, seen from both ends, and the normalisers.
///
/// A front is a square matrix of side size + 1, upper half: information, right-hand side in the last column, twice the negative constant in the corner.
#[derive(Debug, Clone, Default)]
pub(super) struct Gathered {
    pub(super) forward: Vec<f64>,
    pub(super) backward: Vec<f64>,
    pub(super) log_scale: f64,
}

impl Gathered {
    pub(super) fn new(layout: &Layout, theta: &Theta, first_height_m: f64) -> Self {
        let mut out = Self::default();
        out.gather(layout, theta, first_height_m);
        out
    }

    /// Works the readings into the steps anew for other noise numbers.
    pub(super) fn gather(&mut self, layout: &Layout, theta: &Theta, first_height_m: f64) {
        let [drift, time, white] = theta.map(math::exp);
        let noise = Rates {
            drift_var: drift * drift,
            per_s: 1.0 / time,
            white_info: 1.0 / (white * white),
        };
        let whole = layout.start.last().copied().unwrap_or(0);
        self.forward.clear();
        self.forward.resize(whole, 0.0);
        self.backward.resize(whole, 0.0);
        // Logarithms are taken of products: few calls, no overflow within a step.
        let mut log = 0.0;
        let mut scratch = Vec::new();
        for (j, step) in layout.steps.iter().enumerate() {
            let side = step.size + 1;
            let front = &mut self.forward[layout.start[j]..layout.start[j + 1]];
            let ground = [0, 1, step.taken_forward, step.taken_forward + 1];
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
                    front[i * side + i] += info;
                    front[i * side + side - 1] += info * m;
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
                log += follow(front, side, ground, piece, &noise, &mut scratch);
            }
            turn(
                &self.forward[layout.start[j]..layout.start[j + 1]],
                &mut self.backward[layout.start[j]..layout.start[j + 1]],
                side,
                &step.turned,
            );
        }
        self.log_scale = log;
    }
}

struct Rates {
    drift_var: f64,
    per_s: f64,
    white_info: f64,
}

/// Adds a value to the upper half.
fn add(front: &mut [f64], side: usize, i: usize, k: usize, value: f64) {
    let (i, k) = if i <= k { (i, k) } else { (k, i) };
    front[i * side + k] += value;
}

/// A known height: information on the ground and, for a levelled reach, its datum.
fn fixed(front: &mut [f64], side: usize, ground: [usize; 4], entry: &Entry) -> f64 {
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

/// Follows one walk's drift through a step and adds what its readings say of the ground, the offset and the drift at both nodes.
///
/// Local unknowns: [drift now, drift at the left node, 4 of the ground, offsets.., right-hand side]. Passing from one reading to the next takes the older drift out in a form that stands no gap too short.
fn follow(
    front: &mut [f64],
    side: usize,
    ground: [usize; 4],
    piece: &Piece,
    noise: &Rates,
    scratch: &mut Vec<f64>,
) -> f64 {
    let decay = |gap: f64| {
        let a = math::exp(-gap * noise.per_s);
        (a, -noise.drift_var * math::exp_m1(-2.0 * gap * noise.per_s))
    };
    let mut log = 0.0;
    let mut product = 1.0;
    // Positions in the front of local unknowns 1.., right-hand side last.
    let mut map = [0usize; 64];
    let mut offsets = 0;
    map[0] = piece.drift_in.unwrap_or(usize::MAX);
    map[1..5].copy_from_slice(&ground);
    for entry in &piece.entries {
        if let Some(o) = entry.offset
            && !map[5..5 + offsets].contains(&o)
            && offsets < 50
        {
            map[5 + offsets] = o;
            offsets += 1;
        }
    }
    map[5 + offsets] = side - 1;
    let w = 7 + offsets;
    let rhs = w - 1;
    scratch.clear();
    scratch.resize(w * w, 0.0);
    let a = scratch.as_mut_slice();
    let mut started = false;
    let mut row = [0.0f64; 64];
    for entry in &piece.entries {
        if started {
            let (f, v) = decay(entry.gap_s);
            product *= pass_on(a, w, f, v);
        } else if piece.drift_in.is_some() {
            let (f, v) = decay(entry.gap_s.max(LEAST_GAP_S));
            a[0] += 1.0 / v;
            a[1] -= f / v;
            a[w + 1] += f * f / v;
            log -= 0.5 * (math::ln(v) + LN_2PI);
        } else {
            a[0] += 1.0 / noise.drift_var;
            log -= 0.5 * (math::ln(noise.drift_var) + LN_2PI);
        }
        started = true;
        let info = noise.white_info * entry.count;
        product /= info;
        log -= 0.5 * LN_2PI;
        row[..w].fill(0.0);
        row[0] = 1.0;
        row[2..6].copy_from_slice(&entry.weight);
        if let Some(o) = entry.offset
            && let Some(at) = map[5..5 + offsets].iter().position(|&x| x == o)
        {
            row[6 + at] = 1.0;
        }
        row[rhs] = entry.height_m;
        for i in 0..w {
            if row[i] != 0.0 {
                let f = info * row[i];
                for k in i..w {
                    a[i * w + k] += f * row[k];
                }
            }
        }
        if !(1e-200..1e200).contains(&product) {
            log -= 0.5 * math::ln(product);
            product = 1.0;
        }
    }
    if let Some(out) = piece.drift_out {
        if started {
            let (f, v) = decay(piece.tail_s);
            product *= pass_on(a, w, f, v);
            // What is now at local 0 is the drift at the right node.
            add(front, side, out, out, a[0]);
            for k in 1..w {
                if map[k - 1] != usize::MAX {
                    add(front, side, out, map[k - 1], a[k]);
                }
            }
        } else if let Some(from) = piece.drift_in {
            let (f, v) = decay(piece.tail_s.max(LEAST_GAP_S));
            add(front, side, out, out, 1.0 / v);
            add(front, side, from, out, -f / v);
            add(front, side, from, from, f * f / v);
            log -= 0.5 * (math::ln(v) + LN_2PI);
        }
    } else if started {
        // The walk ends here: its last drift is taken out.
        let pivot = a[0];
        product *= pivot;
        log += 0.5 * LN_2PI;
        let first: Vec<f64> = a[..w].to_vec();
        for i in 1..w {
            let f = first[i] / pivot;
            for k in i..w {
                a[i * w + k] -= f * first[k];
            }
        }
    }
    if started {
        for i in 1..w {
            for k in i..w {
                if map[i - 1] != usize::MAX && map[k - 1] != usize::MAX && a[i * w + k] != 0.0 {
                    add(front, side, map[i - 1], map[k - 1], a[i * w + k]);
                }
            }
        }
    }
    log - 0.5 * math::ln(product)
}

/// The drift moves on by a factor `f` with new variance `v` and the older one is taken out; returns what stands under the root of the normaliser.
fn pass_on(a: &mut [f64], w: usize, f: f64, v: f64) -> f64 {
    let under = a[0] * v + f * f;
    let (keep, share) = (f / under, v / under);
    let (first, rest) = a.split_at_mut(w);
    for i in 1..w {
        let u = first[i] * share;
        if u != 0.0 {
            let row = &mut rest[(i - 1) * w..i * w];
            for k in i..w {
                row[k] -= u * first[k];
            }
        }
    }
    first[0] /= under;
    for u in &mut first[1..] {
        *u *= keep;
    }
    under
}

/// The same front in the order of the other direction.
fn turn(from: &[f64], to: &mut [f64], side: usize, turned: &[usize]) {
    to.fill(0.0);
    let at = |i: usize| turned.get(i).copied().unwrap_or(side - 1);
    for i in 0..side {
        for k in i..side {
            let (a, b) = (at(i), at(k));
            let (a, b) = if a <= b { (a, b) } else { (b, a) };
            to[a * side + b] = from[i * side + k];
        }
    }
}
