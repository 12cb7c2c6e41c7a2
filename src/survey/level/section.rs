//! A stretch of a run of levels that closes on something.

use super::Levels;
use crate::survey::Spread;

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

impl LevelSection {
    /// From one known point to another further on.
    pub(super) fn between(levels: &Levels, a: usize, b: usize) -> Option<Self> {
        let (a, b) = (levels.points.get(a)?, levels.points.get(b)?);
        let shift_m = a.known_m? - a.height_m;
        (b.count > a.count).then_some(Self {
            shift_m,
            misclosure_m: b.height_m + shift_m - b.known_m?,
            count: (a.count, b.count),
            distance_m: (a.distance_m, b.distance_m),
            tied: true,
        })
    }

    /// Round and back to the start.
    pub(super) fn round(levels: &Levels, end: (f64, f64), shift_m: f64, tied: bool) -> Self {
        let (height_m, distance_m) = end;
        let start = levels.points.first().map_or(0.0, |p| p.height_m);
        Self {
            shift_m,
            misclosure_m: height_m - start,
            count: (0, levels.setups.len()),
            distance_m: (0.0, distance_m),
            tied,
        }
    }

    /// Levelled length, m.
    pub(super) fn length_m(&self) -> f64 {
        self.distance_m.1 - self.distance_m.0
    }

    /// Share of the misclosure that a point carries, 0 to 1.
    pub(super) fn share(&self, count: usize, distance_m: f64, spread: Spread) -> f64 {
        let (at, from, to) = match spread {
            Spread::Setups => (count as f64, self.count.0 as f64, self.count.1 as f64),
            Spread::Distance => (distance_m, self.distance_m.0, self.distance_m.1),
        };
        if to > from {
            ((at - from) / (to - from)).clamp(0.0, 1.0)
        } else {
            0.0
        }
    }
}
