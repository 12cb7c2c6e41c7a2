//! Limits are rounded towards safety.

/// Which side of a limit is safe: it decides how its last digit is rounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Limit {
    /// So much is asked for: rounded up.
    AtLeast,
    /// So much is allowed: rounded down.
    AtMost,
}

impl Limit {
    /// A value to a step, on the safe side: what is printed, obeyed, is enough. A value that stands on the step already, to a part in a thousand million, stays.
    pub fn rounded(self, value: f64, step: f64) -> f64 {
        let steps = value / step;
        let near = 1e-9 * steps.abs().max(1.0);
        step * match self {
            Self::AtLeast => (steps - near).ceil(),
            Self::AtMost => (steps + near).floor(),
        }
    }

    /// Whether what there is does for a limit, to the same part that rounding leaves.
    pub fn holds(self, has: f64, limit: f64) -> bool {
        let near = 1e-8 * limit.abs();
        match self {
            Self::AtLeast => has >= limit - near,
            Self::AtMost => has <= limit + near,
        }
    }
}
