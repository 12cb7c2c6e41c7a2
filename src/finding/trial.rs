use crate::proof::TestDoubt;

/// What the pressure test says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TestOutcome {
    /// It leaks.
    Leaks {
        /// How steeply polyethylene lost its pressure at the end, and at most.
        slope: Option<(f64, f64)>,
        /// What other pipe lost in an hour, Pa, and at most.
        lost_pa: Option<(f64, f64)>,
    },
    /// Too much air was in the pipe.
    Air {
        /// Slope at the beginning.
        slope: f64,
        /// The least of sound pipe without air.
        least: f64,
    },
    /// It does not decide.
    NotCertain(TestDoubt),
    /// The pressure was lower than is asked for.
    Low {
        /// The first reading, Pa.
        pressure_pa: f64,
        /// Asked, Pa.
        asked_pa: f64,
    },
}
