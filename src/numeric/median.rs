//! The middle of values and their spread about it: what stands firm against spikes.

/// Median, in linear time; the list is put in another order. 0 where it is empty.
pub fn median_in(values: &mut [f64]) -> f64 {
    let count = values.len();
    if count == 0 {
        return 0.0;
    }
    let (below, &mut upper, _) = values.select_nth_unstable_by(count / 2, f64::total_cmp);
    if count % 2 == 1 {
        return upper;
    }
    let lower = below.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    0.5 * (lower + upper)
}

/// Median; 0 of none.
pub fn median(values: &[f64]) -> f64 {
    median_in(&mut values.to_vec())
}

/// The spread about the middle value that outliers do not move: 1.4826 times the median of absolute differences, the standard deviation where the values are normal.
pub fn spread(values: &[f64]) -> f64 {
    let middle = median(values);
    let off: Vec<f64> = values.iter().map(|v| (v - middle).abs()).collect();
    1.4826 * median(&off)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_wild_value_moves_neither_middle_nor_spread_far() {
        let mut values = [1.0, 1.1, 0.9, 1.05, 0.95, 1.0, 1.02];
        let (middle, wide) = (median(&values), spread(&values));
        values[2] = 50.0;
        assert!((median(&values) - middle).abs() < 0.05 && spread(&values) < 2.0 * wide);
        assert_eq!(median(&[]), 0.0);
    }
}
