use crate::numeric::math;
use crate::reading::Misclosure;

/// Heights along a line with errors that points share, while they are brought onto known heights one after the other.
///
/// The error of point i is the sum over factors of `factor[k][i]` times a standard normal (the points' own small part stands elsewhere).
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct HeightEstimate {
    pub(super) height_m: Vec<f64>,
    pub(super) factors_m: Vec<Vec<f64>>,
}

/// A weighted sum of heights that is known: `+1` at `plus`, `-1` at `minus` where there is one.
#[derive(Debug, Clone, Copy)]
pub(super) struct KnownSum {
    pub(super) plus: usize,
    pub(super) minus: Option<usize>,
    pub(super) value_m: f64,
}

impl HeightEstimate {
    fn pick(values: &[f64], known: KnownSum) -> f64 {
        let at = |i: usize| values.get(i).copied().unwrap_or(0.0);
        at(known.plus) - known.minus.map_or(0.0, at)
    }

    /// How far the line is off a known height, m (computed less known), and that figure's standard deviation.
    pub(super) fn off(&self, known: KnownSum) -> (f64, f64) {
        let variance: f64 = self
            .factors_m
            .iter()
            .map(|f| math::powi(Self::pick(f, known), 2))
            .sum();
        (
            Self::pick(&self.height_m, known) - known.value_m,
            variance.sqrt(),
        )
    }

    /// Moves the whole line so that it stands on a known height: errors then count from there.
    pub(super) fn hang_on(&mut self, point: usize, height_m: f64) {
        let known = KnownSum {
            plus: point,
            minus: None,
            value_m: height_m,
        };
        let (off, _) = self.off(known);
        for h in &mut self.height_m {
            *h -= off;
        }
        for f in &mut self.factors_m {
            let at = Self::pick(f, known);
            for x in f {
                *x -= at;
            }
        }
    }

    /// Brings the line onto a known height: each point moves by its covariance with the misclosure; gives the misclosure, allowed at three standard deviations.
    pub(super) fn condition(&mut self, known: KnownSum) -> Misclosure {
        let (off, sd) = self.off(known);
        let found = Misclosure {
            found_m: off,
            allowed_m: 3.0 * sd,
        };
        let variance = sd * sd;
        if variance <= 0.0 {
            return found;
        }
        let ends: Vec<f64> = self
            .factors_m
            .iter()
            .map(|f| Self::pick(f, known))
            .collect();
        let gains: Vec<f64> = (0..self.height_m.len())
            .map(|i| {
                let shared: f64 = self
                    .factors_m
                    .iter()
                    .zip(&ends)
                    .map(|(f, end)| f.get(i).copied().unwrap_or(0.0) * end)
                    .sum();
                shared / variance
            })
            .collect();
        for (h, gain) in self.height_m.iter_mut().zip(&gains) {
            *h -= gain * off;
        }
        for (f, end) in self.factors_m.iter_mut().zip(&ends) {
            for (x, gain) in f.iter_mut().zip(&gains) {
                *x -= gain * end;
            }
        }
        found
    }
}

/// Most factors that are kept for a line of so many points: at most 160, and fewer where the line is long, so that memory stays in proportion to it.
pub(super) fn most_factors(points: usize) -> usize {
    (800_000 / points.max(1)).clamp(8, 160)
}

/// Factors of errors that add up along a line, each step its own: neighbours are thrown together where there are too many.
///
/// `steps_m[j]` is the standard deviation that step j adds to every point after it; there is one point more than steps.
pub(super) fn walk_factors(steps_m: &[f64]) -> Vec<Vec<f64>> {
    in_groups(steps_m, most_factors(steps_m.len()))
}

fn in_groups(steps_m: &[f64], most: usize) -> Vec<Vec<f64>> {
    let group = steps_m.len().div_ceil(most).max(1);
    steps_m
        .chunks(group)
        .enumerate()
        .map(|(k, chunk)| {
            let sd = chunk.iter().map(|s| s * s).sum::<f64>().sqrt();
            let mut factor = vec![0.0; k * group + 1];
            // Inside a group the error grows evenly with the steps' own variances.
            let total: f64 = chunk.iter().map(|s| s * s).sum();
            let mut sum = 0.0;
            for step in chunk {
                sum += step * step;
                factor.push(if total > 0.0 { sd * sum / total } else { 0.0 });
            }
            factor.resize(steps_m.len() + 1, sd);
            factor
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_walk_tied_at_both_ends_is_a_bridge() {
        let mut line = HeightEstimate {
            height_m: vec![0.0, 1.0, 2.0, 3.0, 4.0],
            factors_m: walk_factors(&[0.1; 4]),
        };
        line.hang_on(0, 0.0);
        let end = KnownSum {
            plus: 4,
            minus: None,
            value_m: 4.4,
        };
        let found = line.condition(end);
        assert!((found.found_m + 0.4).abs() < 1e-12 && (found.allowed_m - 0.6).abs() < 1e-12);
        assert!((line.height_m[2] - 2.2).abs() < 1e-12);
        let sd = |i: usize| {
            line.factors_m
                .iter()
                .map(|f| f[i] * f[i])
                .sum::<f64>()
                .sqrt()
        };
        assert!(sd(4) < 1e-12 && (sd(2) - 0.1).abs() < 1e-12);
    }

    #[test]
    fn grouped_steps_keep_the_variance_at_the_groups_ends() {
        let grouped = in_groups(&[0.1; 8], 2);
        assert_eq!(grouped.len(), 2);
        let at = |i: usize| grouped.iter().map(|f| f[i] * f[i]).sum::<f64>();
        assert!((at(4) - 0.04).abs() < 1e-12 && (at(8) - 0.08).abs() < 1e-12);
    }
}
