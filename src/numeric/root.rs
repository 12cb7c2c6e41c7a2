use std::fmt;

/// Why no root was given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoRoot {
    /// Both ends of the bracket have the same sign.
    SameSign {
        /// Value at the lower end.
        at_low: f64,
        /// Value at the upper end.
        at_high: f64,
    },
    /// The function, or an end of the bracket, is not a finite number.
    NotFinite {
        /// Where.
        at: f64,
    },
    /// The bracket was still wider than asked for after the most steps allowed.
    NotSettled {
        /// Best point so far.
        best: f64,
        /// Value there.
        value: f64,
    },
}

impl fmt::Display for NoRoot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::SameSign { at_low, at_high } => {
                write!(f, "both ends have one sign: {at_low} and {at_high}")
            }
            Self::NotFinite { at } => write!(f, "no finite value at {at}"),
            Self::NotSettled { best, value } => {
                write!(f, "did not settle: {value} at {best}")
            }
        }
    }
}

impl std::error::Error for NoRoot {}

/// A bracket and how close to come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bracket {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Absolute width of the bracket at which to stop; rounding is the floor in any case.
    pub width: f64,
}

/// Root of a continuous function inside a bracket whose ends differ in sign.
///
/// Brent's method (R. P. Brent, Algorithms for Minimization without Derivatives, 1973, chapter 4): secant or inverse quadratic steps, held to bisection's pace. At most 200 steps.
pub fn root(bracket: Bracket, mut f: impl FnMut(f64) -> f64) -> Result<f64, NoRoot> {
    let mut value = |x: f64| {
        let y = f(x);
        if x.is_finite() && y.is_finite() {
            Ok(y)
        } else {
            Err(NoRoot::NotFinite { at: x })
        }
    };
    let (mut a, mut b) = (bracket.low, bracket.high);
    let (mut fa, mut fb) = (value(a)?, value(b)?);
    if fa == 0.0 {
        return Ok(a);
    }
    if fb == 0.0 {
        return Ok(b);
    }
    if fa.signum() == fb.signum() {
        return Err(NoRoot::SameSign {
            at_low: fa,
            at_high: fb,
        });
    }
    // b is the best point, c the end across the root, a the point before b.
    let (mut c, mut fc) = (a, fa);
    let mut step = b - a;
    let mut before = step;
    for _ in 0..200 {
        if fb.signum() == fc.signum() {
            (c, fc) = (a, fa);
            step = b - a;
            before = step;
        }
        if fc.abs() < fb.abs() {
            (a, fa) = (b, fb);
            (b, fb) = (c, fc);
            (c, fc) = (a, fa);
        }
        let close = 2.0 * f64::EPSILON * b.abs() + 0.5 * bracket.width.abs();
        let half = 0.5 * (c - b);
        if half.abs() <= close || fb == 0.0 {
            return Ok(b);
        }
        let mut bisect = true;
        if before.abs() >= close && fa.abs() > fb.abs() {
            let s = fb / fa;
            let (mut p, mut q) = if a == c {
                (2.0 * half * s, 1.0 - s)
            } else {
                let (q, r) = (fa / fc, fb / fc);
                (
                    s * (2.0 * half * q * (q - r) - (b - a) * (r - 1.0)),
                    (q - 1.0) * (r - 1.0) * (s - 1.0),
                )
            };
            if p > 0.0 {
                q = -q;
            }
            p = p.abs();
            if 2.0 * p < (3.0 * half * q - (close * q).abs()).min((before * q).abs()) {
                before = step;
                step = p / q;
                bisect = false;
            }
        }
        if bisect {
            step = half;
            before = half;
        }
        (a, fa) = (b, fb);
        b += if step.abs() > close {
            step
        } else {
            close.copysign(half)
        };
        fb = value(b)?;
    }
    Err(NoRoot::NotSettled { best: b, value: fb })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::math;
    use proptest::prelude::*;

    fn bracket(low: f64, high: f64) -> Bracket {
        Bracket {
            low,
            high,
            width: 0.0,
        }
    }

    #[test]
    fn known_roots() {
        let x = root(bracket(0.0, 2.0), |x| x * x - 2.0).unwrap();
        assert!((x - std::f64::consts::SQRT_2).abs() < 1e-15);
        let x = root(bracket(0.0, 1.0), |x| math::cos(x) - x).unwrap();
        assert!((x - 0.739_085_133_215_160_6).abs() < 1e-15);
        // A flat triple root and a step.
        let x = root(bracket(-1.0, 4.0), |x| math::powi(x - 1.0, 3)).unwrap();
        assert!((x - 1.0).abs() < 1e-5);
        let x = root(bracket(-1.0, 4.0), |x| if x < 0.3 { -1.0 } else { 1.0 }).unwrap();
        assert!((x - 0.3).abs() < 1e-12);
    }

    #[test]
    fn says_why_not() {
        assert!(matches!(
            root(bracket(1.0, 2.0), |x| x),
            Err(NoRoot::SameSign { .. })
        ));
        assert!(matches!(
            root(bracket(-1.0, 1.0), |x| if x > 0.0 {
                f64::NAN
            } else {
                -1.0
            }),
            Err(NoRoot::NotFinite { .. })
        ));
        assert!(matches!(
            root(bracket(f64::NAN, 1.0), |x| x),
            Err(NoRoot::NotFinite { .. })
        ));
    }

    proptest! {
        #[test]
        fn finds_the_root_of_any_rising_cubic(r in -50.0..50.0f64, k in 0.01..10.0f64) {
            let x = root(bracket(-100.0, 100.0), |x| k * (x - r) + math::powi(x - r, 3)).unwrap();
            prop_assert!((x - r).abs() < 1e-9);
        }
    }
}
