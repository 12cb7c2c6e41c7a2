//! Monotone fits.

/// Weighted least-squares fit that never decreases, by pooling adjacent violators.
///
/// One value and one weight a point, weights positive; the fit of each pool is its weighted mean, so the weighted sum is kept. A shorter list of weights is filled up with 1. Linear in the number of points.
/// Source: R. E. Barlow, D. J. Bartholomew, J. M. Bremner and H. D. Brunk, Statistical Inference under Order Restrictions, 1972.
pub fn rising(values: &[f64], weights: &[f64]) -> Vec<f64> {
    let mut pools: Vec<(f64, f64, usize)> = Vec::with_capacity(values.len());
    let weights = weights.iter().copied().chain(std::iter::repeat(1.0));
    for (&value, weight) in values.iter().zip(weights) {
        let mut pool = (value, weight, 1);
        while let Some(&(mean, w, n)) = pools.last() {
            if mean <= pool.0 {
                break;
            }
            pools.pop();
            let sum = w + pool.1;
            pool = ((mean * w + pool.0 * pool.1) / sum, sum, n + pool.2);
        }
        pools.push(pool);
    }
    pools
        .into_iter()
        .flat_map(|(mean, _, n)| std::iter::repeat_n(mean, n))
        .collect()
}

/// Weighted least-squares fit that never increases; see `rising`.
pub fn falling(values: &[f64], weights: &[f64]) -> Vec<f64> {
    let turned: Vec<f64> = values.iter().map(|v| -v).collect();
    rising(&turned, weights).into_iter().map(|v| -v).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn pools_to_weighted_means() {
        assert_eq!(
            rising(&[1.0, 3.0, 2.0, 4.0], &[1.0; 4]),
            [1.0, 2.5, 2.5, 4.0]
        );
        assert_eq!(rising(&[3.0, 0.0], &[1.0, 2.0]), [1.0, 1.0]);
        assert_eq!(falling(&[1.0, 2.0, 0.0], &[]), [1.5, 1.5, 0.0]);
        assert!(rising(&[], &[]).is_empty());
    }

    proptest! {
        #[test]
        fn never_decreases_keeps_the_sum_and_leaves_what_rises(values in prop::collection::vec(-9.0..9.0f64, 1..40)) {
            let fit = rising(&values, &[]);
            prop_assert!(fit.windows(2).all(|w| w[0] <= w[1] + 1e-12));
            let (a, b): (f64, f64) = (values.iter().sum(), fit.iter().sum());
            prop_assert!((a - b).abs() < 1e-9);
            let again = rising(&fit, &[]);
            prop_assert!(fit.iter().zip(&again).all(|(x, y)| (x - y).abs() < 1e-12));
        }
    }
}
