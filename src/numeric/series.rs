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
