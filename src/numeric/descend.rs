/// Where a search without derivatives ended.
#[derive(Debug, Clone, PartialEq)]
pub struct Minimum {
    /// The point.
    pub at: Vec<f64>,
    /// The value there.
    pub value: f64,
    /// How often the function was asked.
    pub asked: usize,
    /// Whether it settled before the limit.
    pub settled: bool,
}

/// How far to search.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SimplexOptions {
    /// First step in every direction.
    pub step: f64,
    /// Stop when values of the simplex differ by less.
    pub close: f64,
    /// Most questions asked.
    pub most: usize,
}

/// Lowest value of a function of a few variables, by the downhill simplex (J. A. Nelder and R. Mead, Computer Journal 7, 1965); values that are no number count as infinitely high.
///
/// It finds a local minimum, and does so without a promise: check `settled`.
pub fn minimise(from: &[f64], search: SimplexOptions, mut f: impl FnMut(&[f64]) -> f64) -> Minimum {
    let mut asked = 0;
    let mut ask = |x: &[f64]| {
        asked += 1;
        let y = f(x);
        if y.is_nan() { f64::INFINITY } else { y }
    };
    let n = from.len();
    let mut simplex: Vec<(f64, Vec<f64>)> = vec![(ask(from), from.to_vec())];
    for i in 0..n {
        let x: Vec<f64> = from
            .iter()
            .enumerate()
            .map(|(j, v)| if i == j { v + search.step } else { *v })
            .collect();
        simplex.push((ask(&x), x));
    }
    let mut settled = n == 0;
    let mut used = n + 1;
    while used < search.most && !settled {
        simplex.sort_by(|a, b| a.0.total_cmp(&b.0));
        let Some((worst, rest)) = simplex.split_last_mut() else {
            break;
        };
        let (Some(best), Some(second)) = (rest.first(), rest.last()) else {
            break;
        };
        let (best_value, second_value) = (best.0, second.0);
        if worst.0 - best_value < search.close {
            settled = true;
            break;
        }
        let middle: Vec<f64> = (0..n)
            .map(|j| rest.iter().filter_map(|(_, x)| x.get(j)).sum::<f64>() / n as f64)
            .collect();
        let along = |k: f64, from: &[f64]| -> Vec<f64> {
            middle
                .iter()
                .zip(from)
                .map(|(m, w)| m + k * (w - m))
                .collect()
        };
        let reflected = along(-1.0, &worst.1);
        let value = ask(&reflected);
        used += 1;
        if value < best_value {
            let far = along(-2.0, &worst.1);
            let far_value = ask(&far);
            used += 1;
            *worst = if far_value < value {
                (far_value, far)
            } else {
                (value, reflected)
            };
        } else if value < second_value {
            *worst = (value, reflected);
        } else {
            let inner = if value < worst.0 {
                along(-0.5, &worst.1)
            } else {
                along(0.5, &worst.1)
            };
            let inner_value = ask(&inner);
            used += 1;
            if inner_value < worst.0.min(value) {
                *worst = (inner_value, inner);
            } else {
                let best = best.1.clone();
                for vertex in simplex.iter_mut().skip(1) {
                    for (v, b) in vertex.1.iter_mut().zip(&best) {
                        *v = b + 0.5 * (*v - b);
                    }
                    vertex.0 = ask(&vertex.1);
                    used += 1;
                }
            }
        }
    }
    simplex.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (value, at) = simplex.swap_remove(0);
    Minimum {
        at,
        value,
        asked,
        settled,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::math;

    #[test]
    fn comes_down_a_curved_valley() {
        let search = SimplexOptions {
            step: 0.5,
            close: 1e-14,
            most: 2000,
        };
        // Rosenbrock's valley, lowest at (1, 1).
        let end = minimise(&[-1.2, 1.0], search, |x| {
            100.0 * math::powi(x[1] - x[0] * x[0], 2) + math::powi(1.0 - x[0], 2)
        });
        assert!(end.settled);
        assert!((end.at[0] - 1.0).abs() < 1e-5 && (end.at[1] - 1.0).abs() < 1e-5);
        let walled = minimise(&[3.0], search, |x| if x[0] < 2.0 { f64::NAN } else { x[0] });
        assert!((walled.at[0] - 2.0).abs() < 1e-6);
        assert_eq!(minimise(&[], search, |_| 4.0).value, 4.0);
    }
}
