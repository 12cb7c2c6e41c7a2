//! A stretch of a run of levels that closes on something.

/// A stretch of a run that closes on something.
pub(super) struct LevelSection {
    /// Added to every carried height, m: brings the start onto its known height.
    pub(super) shift_m: f64,
    /// Computed less known at the end, m.
    pub(super) misclosure_m: f64,
    /// Set-ups at start and end.
    pub(super) count: (usize, usize),
    /// Distance at start and end, m.
    pub(super) distance_m: (f64, f64),
    /// Whether it hangs on a known height.
    pub(super) tied: bool,
}
