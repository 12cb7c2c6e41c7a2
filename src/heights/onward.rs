#![expect(
    clippy::indexing_slicing,
    reason = "a kernel over matrices of a few unknowns, whose size is checked where they are made"
)]

//! A walk's error from one moment to the next, in the form of information.

use crate::numeric::math;
use crate::receiver::Errors;

pub(super) const LN_2PI: f64 = 1.837_877_066_409_345_5;

/// Shortest share of the slow part's time, and shortest time, s, between two moments that are told apart: a shorter one would make one infinitely sure of the other.
pub(super) const LEAST_SHARE: f64 = 2e-4;
pub(super) const LEAST_GAP_S: f64 = 1e-6;
/// Up to this share of its time the slow part is carried back, beyond it forward: the one loses digits where much is known of the older part, the other over the shortest steps.
const SHORT: f64 = 2e-3;

/// What is kept of an error over a step of time, and what comes anew.
#[derive(Debug, Clone, Copy)]
pub(super) struct Onward {
    /// Step over the slow part's time, sqrt(3) t / l.
    share: f64,
    by_s: f64,
    rate: f64,
    slow: [[f64; 2]; 2],
    keep: f64,
    /// Covariance of what is new in the slow part: 11, 12, 22.
    new: [f64; 3],
    new_fast: f64,
}

impl Onward {
    pub(super) fn new(errors: &Errors, by_s: f64) -> Self {
        let (slow, keep) = errors.step(by_s);
        let (new, new_fast) = errors.anew(by_s);
        let rate = errors.per_s();
        Self {
            share: rate * by_s,
            by_s,
            rate,
            slow,
            keep,
            new,
            new_fast,
        }
    }

    /// The same over a step long enough for both moments to be told apart.
    pub(super) fn apart(self, errors: &Errors) -> Self {
        let least = (LEAST_SHARE / self.rate).max(LEAST_GAP_S);
        if self.by_s < least {
            Self::new(errors, least)
        } else {
            self
        }
    }
}

/// Information on [fast, slow, rate] after and before a step: calls `add(i, k, value)` with 0..3 for after, 3..6 for before, i <= k, and gives the logarithm of the normaliser.
pub(super) fn conditional(onward: &Onward, mut add: impl FnMut(usize, usize, f64)) -> f64 {
    let (keep, v) = (onward.keep, onward.new_fast);
    add(0, 0, 1.0 / v);
    add(0, 3, -keep / v);
    add(3, 3, keep * keep / v);
    let (q, det) = inverse(onward.new);
    let [f, g] = onward.slow;
    // E = Q^-1 F.
    let e = [
        [q[0] * f[0] + q[1] * g[0], q[0] * f[1] + q[1] * g[1]],
        [q[1] * f[0] + q[2] * g[0], q[1] * f[1] + q[2] * g[1]],
    ];
    add(1, 1, q[0]);
    add(1, 2, q[1]);
    add(2, 2, q[2]);
    for (i, row) in e.iter().enumerate() {
        for (k, value) in row.iter().enumerate() {
            add(1 + i, 4 + k, -value);
        }
    }
    add(4, 4, f[0] * e[0][0] + g[0] * e[1][0]);
    add(4, 5, f[0] * e[0][1] + g[0] * e[1][1]);
    add(5, 5, f[1] * e[0][1] + g[1] * e[1][1]);
    -0.5 * (math::ln(det * v) + 3.0 * LN_2PI)
}

/// Inverse and determinant of a symmetric matrix of two.
fn inverse([a, b, c]: [f64; 3]) -> ([f64; 3], f64) {
    let det = a * c - b * b;
    ([c / det, -b / det, a / det], det)
}

/// Sides of a local matrix: few, so that the loops over a row are laid out when the program is built.
pub(super) const SIDES: [usize; 4] = [12, 16, 24, 64];

/// The side of a matrix that holds so many unknowns with the right-hand side; what is beyond them stays 0.
pub(super) fn side_for(unknowns: usize) -> usize {
    let fits = SIDES.into_iter().find(|side| *side >= unknowns);
    fits.unwrap_or(SIDES[3])
}

/// A walk's error (places 0, 1, 2: fast, slow, rate) moves on and the older one is taken out; gives what stands under the root of the normaliser. `a`: a square of one of the sides; its upper half counts, the lower is overwritten.
pub(super) fn pass(a: &mut [f64], side: usize, onward: &Onward) -> f64 {
    match side {
        12 => pass_in::<12>(a, onward),
        16 => pass_in::<16>(a, onward),
        24 => pass_in::<24>(a, onward),
        _ => pass_in::<64>(a, onward),
    }
}

fn pass_in<const SIDE: usize>(a: &mut [f64], onward: &Onward) -> f64 {
    let (rows, _) = a.as_chunks_mut::<SIDE>();
    pass_fast(rows, onward) * pass_slow(rows, onward)
}

fn pass_fast<const SIDE: usize>(rows: &mut [[f64; SIDE]], onward: &Onward) -> f64 {
    let (f, v) = (onward.keep, onward.new_fast);
    let [first, rest @ ..] = rows else {
        return 1.0;
    };
    let under = first[0] * v + f * f;
    let (keep, share) = (f / under, v / under);
    for (row, tie) in rest.iter_mut().zip(&first[1..]) {
        let u = tie * share;
        for (r, x) in row.iter_mut().zip(first.iter()) {
            *r -= u * x;
        }
    }
    first[0] /= under;
    for u in &mut first[1..] {
        *u *= keep;
    }
    under
}

fn pass_slow<const SIDE: usize>(rows: &mut [[f64; SIDE]], onward: &Onward) -> f64 {
    let [fast, slow, rate, rest @ ..] = rows else {
        return 1.0;
    };
    let l = [slow[1], slow[2], rate[2]];
    // What the older part was worth to everything else (kernel), how its ties go over to the new one (carry), what is known of the new one, and the normaliser.
    let (kernel, carry, known, under) = if onward.share < SHORT {
        back(l, onward)
    } else {
        ahead(l, onward)
    };
    let (mut height, mut speed) = (*slow, *rate);
    [height[0], speed[0]] = [fast[1], fast[2]];
    height[1..3].fill(0.0);
    speed[1..3].fill(0.0);
    let ties = height.iter().zip(&speed);
    let worth = |p: f64, q: f64| [kernel[0] * p + kernel[1] * q, kernel[1] * p + kernel[2] * q];
    let less = |row: &mut [f64; SIDE], [u, v]: [f64; 2]| {
        for (r, (p, q)) in row.iter_mut().zip(ties.clone()) {
            *r -= u * p + v * q;
        }
    };
    less(fast, worth(height[0], speed[0]));
    for (row, (p, q)) in rest.iter_mut().zip(ties.clone().skip(3)) {
        less(row, worth(*p, *q));
    }
    let over = |p: f64, q: f64| {
        [
            carry[0][0] * p + carry[0][1] * q,
            carry[1][0] * p + carry[1][1] * q,
        ]
    };
    [fast[1], fast[2]] = over(height[0], speed[0]);
    for k in 3..SIDE {
        [slow[k], rate[k]] = over(height[k], speed[k]);
    }
    [slow[1], slow[2], rate[2]] = known;
    under
}

type Passed = ([f64; 3], [[f64; 2]; 2], [f64; 3], f64);

/// Over a short step: the older part is the new one carried back, less what came anew, which is taken out.
fn back(l: [f64; 3], onward: &Onward) -> Passed {
    let (x, t, r) = (onward.share, onward.by_s, onward.rate);
    let e = math::exp(x);
    // G = F^-1.
    let g = [[e * (1.0 - x), -e * t], [e * r * x, e * (1.0 + x)]];
    let lg = [
        [
            l[0] * g[0][0] + l[1] * g[1][0],
            l[0] * g[0][1] + l[1] * g[1][1],
        ],
        [
            l[1] * g[0][0] + l[2] * g[1][0],
            l[1] * g[0][1] + l[2] * g[1][1],
        ],
    ];
    // L~ = G' L G.
    let k = [
        g[0][0] * lg[0][0] + g[1][0] * lg[1][0],
        g[0][0] * lg[0][1] + g[1][0] * lg[1][1],
        g[0][1] * lg[0][1] + g[1][1] * lg[1][1],
    ];
    let q = onward.new;
    // S = I + Q L~; D = S^-1 Q.
    let s = [
        [1.0 + q[0] * k[0] + q[1] * k[1], q[0] * k[1] + q[1] * k[2]],
        [q[1] * k[0] + q[2] * k[1], 1.0 + q[1] * k[1] + q[2] * k[2]],
    ];
    let det = s[0][0] * s[1][1] - s[0][1] * s[1][0];
    let d = [
        (s[1][1] * q[0] - s[0][1] * q[1]) / det,
        (s[1][1] * q[1] - s[0][1] * q[2]) / det,
        (s[0][0] * q[2] - s[1][0] * q[1]) / det,
    ];
    // W = G D G'.
    let gd = [
        [
            g[0][0] * d[0] + g[0][1] * d[1],
            g[0][0] * d[1] + g[0][1] * d[2],
        ],
        [
            g[1][0] * d[0] + g[1][1] * d[1],
            g[1][0] * d[1] + g[1][1] * d[2],
        ],
    ];
    let kernel = [
        gd[0][0] * g[0][0] + gd[0][1] * g[0][1],
        gd[0][0] * g[1][0] + gd[0][1] * g[1][1],
        gd[1][0] * g[1][0] + gd[1][1] * g[1][1],
    ];
    // I - L~ D = (I + L~ Q)^-1 = S'^-1.
    let rest = [
        [s[1][1] / det, -s[1][0] / det],
        [-s[0][1] / det, s[0][0] / det],
    ];
    let carry = [
        [
            rest[0][0] * g[0][0] + rest[0][1] * g[0][1],
            rest[0][0] * g[1][0] + rest[0][1] * g[1][1],
        ],
        [
            rest[1][0] * g[0][0] + rest[1][1] * g[0][1],
            rest[1][0] * g[1][0] + rest[1][1] * g[1][1],
        ],
    ];
    let known = [
        rest[0][0] * k[0] + rest[0][1] * k[1],
        rest[0][0] * k[1] + rest[0][1] * k[2],
        rest[1][0] * k[1] + rest[1][1] * k[2],
    ];
    (kernel, carry, known, det * math::exp(-4.0 * x))
}

/// Over a long step: the new part given the older one, which is taken out.
fn ahead(l: [f64; 3], onward: &Onward) -> Passed {
    let (q, det) = inverse(onward.new);
    let [f, g] = onward.slow;
    // E = Q^-1 F; M = L + F' E; W = M^-1.
    let e = [
        [q[0] * f[0] + q[1] * g[0], q[0] * f[1] + q[1] * g[1]],
        [q[1] * f[0] + q[2] * g[0], q[1] * f[1] + q[2] * g[1]],
    ];
    let m = [
        l[0] + f[0] * e[0][0] + g[0] * e[1][0],
        l[1] + f[0] * e[0][1] + g[0] * e[1][1],
        l[2] + f[1] * e[0][1] + g[1] * e[1][1],
    ];
    let (kernel, under) = inverse(m);
    let carry = [
        [
            e[0][0] * kernel[0] + e[0][1] * kernel[1],
            e[0][0] * kernel[1] + e[0][1] * kernel[2],
        ],
        [
            e[1][0] * kernel[0] + e[1][1] * kernel[1],
            e[1][0] * kernel[1] + e[1][1] * kernel[2],
        ],
    ];
    let known = [
        q[0] - carry[0][0] * e[0][0] - carry[0][1] * e[0][1],
        q[1] - carry[0][0] * e[1][0] - carry[0][1] * e[1][1],
        q[2] - carry[1][0] * e[1][0] - carry[1][1] * e[1][1],
    ];
    (kernel, carry, known, det * under)
}

/// Takes the first unknowns out of a small matrix (upper half); gives the product of the pivots.
pub(super) fn take_first(a: &mut [f64], w: usize, count: usize) -> f64 {
    let mut product = 1.0;
    for p in 0..count {
        let (above, below) = a.split_at_mut((p + 1) * w);
        let row = &above[p * w..];
        let pivot = row[p];
        product *= pivot;
        for i in p + 1..w {
            let f = row[i] / pivot;
            if f != 0.0 {
                let start = (i - p - 1) * w;
                for (t, r) in below[start + i..start + w].iter_mut().zip(&row[i..]) {
                    *t -= f * r;
                }
            }
        }
    }
    product
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::Rng;

    /// Passing on is the same as laying both moments side by side and taking the older one out.
    #[test]
    fn passing_on_is_taking_the_older_out() {
        let mut draws = Rng::new(2);
        let errors = Errors {
            slow_sd_m: 2.0,
            slow_time_s: 50.0,
            fast_sd_m: 0.5,
            fast_time_s: 9.0,
            white_sd_m: 0.1,
        };
        for by in [0.01, 0.05, 0.06, 0.2, 1.0, 14.0, 60.0, 400.0] {
            let (w, square) = (7, side_for(7));
            // Some readings of the error together with others.
            let mut a = vec![0.0; square * square];
            for _ in 0..9 {
                let mut row: Vec<f64> = (0..w).map(|_| draws.normal()).collect();
                row[2] *= 5.0;
                for i in 0..w {
                    for k in i..w {
                        a[i * square + k] += row[i] * row[k];
                    }
                }
            }
            let onward = Onward::new(&errors, by);
            // Before, then after and the others.
            let side = w + 3;
            let mut wide = vec![0.0; side * side];
            let place = |i: usize| if i < 3 { i } else { i + 3 };
            for i in 0..w {
                for k in i..w {
                    wide[place(i) * side + place(k)] += a[i * square + k];
                }
            }
            let log = conditional(&onward, |i, k, value| {
                let at = |i: usize| if i < 3 { i + 3 } else { i - 3 };
                let (i, k) = (at(i).min(at(k)), at(i).max(at(k)));
                wide[i * side + k] += value;
            });
            let product = take_first(&mut wide, side, 3);
            let want = log + 1.5 * LN_2PI - 0.5 * math::ln(product);
            let under = pass(&mut a, square, &onward);
            assert!((want + 0.5 * math::ln(under)).abs() < 1e-6, "{by}: {want}");
            for i in 0..w {
                for k in i..w {
                    let (got, want) = (a[i * square + k], wide[(i + 3) * side + k + 3]);
                    assert!(
                        (got - want).abs() < 1e-5 * (1.0 + want.abs()),
                        "{by} {i} {k}: {got} {want}"
                    );
                }
            }
        }
    }
}
