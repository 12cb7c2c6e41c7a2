//! Values that the caller knows to be there.
//!
//! A value that is missing all the same is a mistake of ours. It stops a build that checks itself, and elsewhere gives what is not a number: that shows in every figure made of it, where a zero would be taken for one.

/// The value at an index below the length.
pub fn at(values: &[f64], index: usize) -> f64 {
    there(values.get(index))
}

/// The first of values that are not empty.
pub fn first(values: &[f64]) -> f64 {
    there(values.first())
}

/// The last of values that are not empty.
pub fn last(values: &[f64]) -> f64 {
    there(values.last())
}

/// Straight between the points, held at the ends; 0 where there are none. `at` rises.
pub fn interpolate(at: &[f64], values: &[f64], x: f64) -> f64 {
    let above = at.partition_point(|&s| s < x);
    let point = |i: usize| at.get(i).copied().zip(values.get(i).copied());
    match (above.checked_sub(1).and_then(point), point(above)) {
        (Some((x0, y0)), Some((x1, y1))) if x1 > x0 => y0 + (y1 - y0) * (x - x0) / (x1 - x0),
        (_, Some((_, y))) | (Some((_, y)), None) => y,
        (None, None) => 0.0,
    }
}

fn there(value: Option<&f64>) -> f64 {
    debug_assert!(value.is_some(), "a value that must be there is missing");
    value.copied().unwrap_or(f64::NAN)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_there_is_given() {
        let values = [1.0, 2.0, 3.0];
        assert_eq!(
            (first(&values), at(&values, 1), last(&values)),
            (1.0, 2.0, 3.0)
        );
    }

    #[test]
    #[cfg(debug_assertions)]
    #[should_panic(expected = "must be there")]
    fn what_is_not_there_is_no_zero() {
        let _ = at(&[1.0], 1);
    }
}
