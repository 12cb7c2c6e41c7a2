//! Medians: what stands firm against spikes.

use crate::numeric::median_in;

/// Median of the absolute values.
pub(crate) fn mad(residuals: &[f64]) -> f64 {
    let mut sizes: Vec<f64> = residuals.iter().map(|r| r.abs()).collect();
    median_in(&mut sizes)
}

/// Each value less the median of the `width` (odd) values round it; the window is shorter at the ends. Values must not be NaN.
pub(crate) fn running_residuals(values: &[f64], width: usize) -> Vec<f64> {
    let half = width / 2;
    let mut window: Vec<f64> = Vec::with_capacity(width + 1);
    let mut ahead = values.iter();
    for &value in ahead.by_ref().take(half) {
        insert(&mut window, value);
    }
    let mut behind = values.iter();
    values
        .iter()
        .enumerate()
        .map(|(i, &value)| {
            if let Some(&next) = ahead.next() {
                insert(&mut window, next);
            }
            if i > half
                && let Some(&old) = behind.next()
            {
                remove(&mut window, old);
            }
            let middle = window.len() / 2;
            let upper = window.get(middle).copied().unwrap_or(value);
            let centre = if window.len() % 2 == 1 {
                upper
            } else {
                let lower = middle.checked_sub(1).and_then(|m| window.get(m));
                0.5 * (upper + lower.copied().unwrap_or(upper))
            };
            value - centre
        })
        .collect()
}

/// Most values that a usual size is judged by.
const ENOUGH: usize = 20_000;

/// Every value of a short list, every second, third .. of a long one: enough to tell what is usual in it.
pub(crate) fn sampled<T>(values: impl Iterator<Item = T>, count: usize) -> impl Iterator<Item = T> {
    values.step_by(count.div_ceil(ENOUGH).max(1))
}

/// Each value less the median of the `width` (odd) values round it, or such residuals of a sample where there are very many.
pub(crate) fn sampled_residuals(values: &[f64], width: usize) -> Vec<f64> {
    if values.len() <= ENOUGH {
        return running_residuals(values, width);
    }
    sampled(values.windows(width), values.len())
        .map(|window| {
            let centre = window.get(width / 2).copied().unwrap_or(0.0);
            centre - median_in(&mut window.to_vec())
        })
        .collect()
}

/// Which values stand farther than `limit` off the median of the `width` (odd) values round them; the window is shorter at the ends.
pub(crate) fn far_off(values: &[f64], width: usize, limit: f64) -> Vec<bool> {
    let half = width / 2;
    let mut far = vec![false; values.len()];
    for (i, (far, &value)) in far.iter_mut().zip(values).enumerate() {
        let window = values
            .get(i.saturating_sub(half)..(i + half + 1).min(values.len()))
            .unwrap_or_default();
        // Where most of the window lies within the limit, its median does: nearly all values are done with here.
        let near: u32 = window
            .iter()
            .map(|v| u32::from((v - value).abs() <= limit))
            .sum();
        if 2 * (near as usize) < window.len() + 2 {
            *far = (value - median_in(&mut window.to_vec())).abs() > limit;
        }
    }
    far
}

fn insert(window: &mut Vec<f64>, value: f64) {
    let at = window.partition_point(|&v| v < value);
    window.insert(at, value);
}

fn remove(window: &mut Vec<f64>, value: f64) {
    let at = window.partition_point(|&v| v < value);
    if at < window.len() {
        window.remove(at);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn medians() {
        assert_eq!(median_in(&mut []), 0.0);
        assert_eq!(median_in(&mut [3.0]), 3.0);
        assert_eq!(median_in(&mut [3.0, 1.0]), 2.0);
        assert_eq!(median_in(&mut [9.0, 1.0, 5.0]), 5.0);
        assert_eq!(mad(&[-3.0, 1.0, 2.0]), 2.0);
    }

    proptest! {
        #[test]
        fn far_off_is_told_by_the_running_median(values in prop::collection::vec(-5.0..5.0f64, 1..60), half in 1usize..8, limit in 0.1..6.0f64) {
            let width = 2 * half + 1;
            let want: Vec<bool> = running_residuals(&values, width).iter().map(|r| r.abs() > limit).collect();
            prop_assert_eq!(far_off(&values, width, limit), want);
        }

        #[test]
        fn running_equals_sorting_each_window(values in prop::collection::vec(-5.0..5.0f64, 1..40), half in 1usize..8) {
            let got = running_residuals(&values, 2 * half + 1);
            for i in 0..values.len() {
                let mut window = values[i.saturating_sub(half)..(i + half + 1).min(values.len())].to_vec();
                prop_assert!((got[i] - (values[i] - median_in(&mut window))).abs() < 1e-12);
            }
        }
    }
}
