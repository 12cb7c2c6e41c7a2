//! Local straight-line fits with a Gaussian weight.

#![expect(
    clippy::indexing_slicing,
    reason = "a numeric kernel; lengths are checked at the door"
)]

use crate::numeric::math;

/// Values smoothed against a rising coordinate: at each point the straight line fitted to its neighbours, weight `exp(-d^2 / 2 width^2)` out to three widths.
///
/// `breaks[i]`: nothing is taken across the step that ends at point i. A straight line passes through unchanged, whatever the spacing.
/// Lists that do not match in length are given back as they are.
pub(crate) fn local_lines<const N: usize>(
    at: &[f64],
    values: &[[f64; N]],
    breaks: &[bool],
    width: f64,
) -> Vec<[f64; N]> {
    if at.len() != values.len() || breaks.len() != at.len() || width <= 0.0 {
        return values.to_vec();
    }
    let reach = 3.0 * width;
    let bell = Bell::new();
    let (mut from, mut to) = (0, 0);
    let (mut piece, mut piece_end) = (0, 0);
    let mut out = Vec::with_capacity(at.len());
    for i in 0..at.len() {
        if i >= piece_end {
            piece = i;
            piece_end = (i + 1..at.len()).find(|&j| breaks[j]).unwrap_or(at.len());
        }
        from = from.max(piece);
        while at[i] - at[from] > reach {
            from += 1;
        }
        to = to.max(i);
        while to + 1 < piece_end && at[to + 1] - at[i] <= reach {
            to += 1;
        }
        out.push(fit(&at[from..=to], &values[from..=to], at[i], width, &bell));
    }
    out
}

/// The same for evenly spaced values, the width in steps: away from the ends the weights are the same everywhere and are worked out once.
pub(crate) fn even_lines<const N: usize>(values: &[[f64; N]], width: f64) -> Vec<[f64; N]> {
    let half = (3.0 * width) as usize;
    let ends = |from: usize, to: usize| {
        let part = values.get(from..to).unwrap_or_default();
        let at: Vec<f64> = (0..part.len()).map(|i| i as f64).collect();
        local_lines(&at, part, &vec![false; part.len()], width)
    };
    let count = values.len();
    if half == 0 || count < 4 * half + 2 {
        return ends(0, count);
    }
    let bell = Bell::new();
    let mut weights: Vec<f64> = (0..=half)
        .map(|k| bell.at(math::powi(k as f64 / width, 2)))
        .collect();
    let sum = 2.0 * weights.iter().sum::<f64>() - weights[0];
    weights.iter_mut().for_each(|w| *w /= sum);
    let mut out = Vec::with_capacity(count);
    out.extend_from_slice(&ends(0, 2 * half)[..half]);
    for i in half..count - half {
        let mut sum = values[i].map(|v| v * weights[0]);
        let (before, after) = (&values[i - half..i], &values[i + 1..=i + half]);
        for ((w, a), b) in weights[1..].iter().zip(before.iter().rev()).zip(after) {
            for k in 0..N {
                sum[k] += w * (a[k] + b[k]);
            }
        }
        out.push(sum);
    }
    out.extend_from_slice(&ends(count - 2 * half, count)[half..]);
    out
}

/// The weight `exp(-u/2)` for u from 0 to 9, read off a table to 1 part in 100,000: any weights pass a straight line through, these are only quicker.
struct Bell([f64; Self::STEPS + 2]);

impl Bell {
    const STEPS: usize = 1024;

    fn new() -> Self {
        Self(std::array::from_fn(|i| {
            math::exp(-4.5 * i as f64 / Self::STEPS as f64)
        }))
    }

    fn at(&self, u: f64) -> f64 {
        let place = (u * (Self::STEPS as f64 / 9.0)).min(Self::STEPS as f64);
        let below = place as usize;
        let (a, b) = (self.0[below], self.0[below + 1]);
        a + (place - below as f64) * (b - a)
    }
}

/// The fitted line's value at `x`; the mean where all points stand at one place.
fn fit<const N: usize>(
    at: &[f64],
    values: &[[f64; N]],
    x: f64,
    width: f64,
    bell: &Bell,
) -> [f64; N] {
    let (mut s0, mut s1, mut s2) = (0.0, 0.0, 0.0);
    let (mut y0, mut y1) = ([0.0; N], [0.0; N]);
    let scale = 1.0 / (width * width);
    for (&a, value) in at.iter().zip(values) {
        let d = a - x;
        let w = bell.at(scale * d * d);
        s0 += w;
        s1 += w * d;
        s2 += w * d * d;
        for k in 0..N {
            y0[k] += w * value[k];
            y1[k] += w * d * value[k];
        }
    }
    let spread = s0 * s2 - s1 * s1;
    if spread <= 1e-9 * s0 * s0 * width * width {
        return y0.map(|v| v / s0);
    }
    std::array::from_fn(|k| (s2 * y0[k] - s1 * y1[k]) / spread)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn even_spacing_is_only_quicker(values in prop::collection::vec(-9.0..9.0f64, 1..90), width in 0.3..6.0f64, spacing in 0.5..20.0f64) {
            let values: Vec<[f64; 1]> = values.into_iter().map(|v| [v]).collect();
            let at: Vec<f64> = (0..values.len()).map(|i| spacing * i as f64).collect();
            let slow = local_lines(&at, &values, &vec![false; at.len()], spacing * width);
            for (a, b) in even_lines(&values, width).iter().zip(&slow) {
                // A value exactly at the rim of the reach may fall out of one of them: its weight is a ninetieth.
                prop_assert!((a[0] - b[0]).abs() < 1e-9 || (3.0 * width).fract().min(1.0 - (3.0 * width).fract()) < 1e-9);
            }
        }

        #[test]
        fn a_straight_line_passes_unchanged(steps in prop::collection::vec(0.0..9.0f64, 1..40), a in -5.0..5.0f64, b in -2.0..2.0f64) {
            let at: Vec<f64> = steps.iter().scan(0.0, |s, d| { *s += d; Some(*s) }).collect();
            let values: Vec<[f64; 1]> = at.iter().map(|s| [a + b * s]).collect();
            let smooth = local_lines(&at, &values, &vec![false; at.len()], 4.0);
            for (got, want) in smooth.iter().zip(&values) {
                prop_assert!((got[0] - want[0]).abs() < 1e-6);
            }
        }
    }

    #[test]
    fn nothing_is_taken_across_a_break() {
        let at = [0.0, 1.0, 2.0, 3.0];
        let values = [[0.0], [0.0], [9.0], [9.0]];
        let smooth = local_lines(&at, &values, &[false, false, true, false], 5.0);
        assert!(
            smooth
                .iter()
                .zip(&values)
                .all(|(a, b)| (a[0] - b[0]).abs() < 1e-9)
        );
    }

    #[test]
    fn noise_is_reduced() {
        let at: Vec<f64> = (0..100).map(f64::from).collect();
        let values: Vec<[f64; 1]> = (0..100)
            .map(|i| [if i % 2 == 0 { 1.0 } else { -1.0 }])
            .collect();
        let smooth = local_lines(&at, &values, &[false; 100], 4.0);
        assert!(smooth.iter().skip(15).take(70).all(|v| v[0].abs() < 0.05));
    }
}
