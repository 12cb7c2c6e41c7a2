use super::How;

/// A figure with how it is known and where from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known {
    /// The figure, in the unit that the giver names.
    pub value: f64,
    /// How it is known.
    pub how: How,
    /// Where from: a named document, or "common practice, no source", or "from memory".
    pub source: &'static str,
}

impl Known {
    /// A figure with how it is known.
    pub const fn new(value: f64, how: How, source: &'static str) -> Self {
        Self { value, how, source }
    }

    /// Of two figures the one that asks for more care: the smaller.
    #[must_use]
    pub fn smaller(self, other: Self) -> Self {
        if other.value < self.value {
            other
        } else {
            self
        }
    }

    /// Of two figures the larger.
    #[must_use]
    pub fn larger(self, other: Self) -> Self {
        if other.value > self.value {
            other
        } else {
            self
        }
    }
}
