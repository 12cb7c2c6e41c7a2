//! Where a later survey begins and ends on the earlier one: one line without a step, draw by draw.

use super::alignment::Alignment;
use super::offset::wanders;
use crate::route::Route;

/// Over so much of a walk a step at a seam is let out, m: a receiver's errors wander over hundreds of metres.
const WALK_TAPER_M: f64 = 150.0;
/// Over so much of a book, m: what does not close at a seam of two books is a movement that reaches a little beyond the part.
const BOOK_TAPER_M: f64 = 20.0;
/// An outer end whose height is known so well stays where it is, m.
const TIED_SD_M: f64 = 0.15;

/// An end of what the later survey covers, with the earlier line outside it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seam {
    /// Station of the earlier survey where the two meet, m.
    pub(super) at_m: f64,
    /// The earlier line lies on the side of the turbine.
    pub(super) below: bool,
    /// The step is let out inside the later survey rather than in the earlier line outside it.
    inside: bool,
    /// Length over which it is let out, m.
    taper_m: f64,
}

impl Seam {
    /// The seams of an alignment: none where the later survey covers the line to its end.
    ///
    /// The survey that wanders gives way: a walk is bent to a book, not a book to a walk. Of two walks the earlier one outside gives way, so that the shape of what was
    /// surveyed last is kept; but where little of it is left out there and its end hangs on a known height, the later one does.
    pub(super) fn of(before: &Route, after: &Route, alignment: &Alignment) -> Vec<Self> {
        let whole = before.length_m();
        let left_outside = |n: f64| n < alignment.from_m - 0.5 || n > alignment.to_m + 0.5;
        let has = |below: bool| {
            before
                .nodes
                .iter()
                .map(|n| n.station_m)
                .any(|s| left_outside(s) && (s > alignment.to_m) == below)
        };
        let covered = (alignment.to_m - alignment.from_m).max(1e-6);
        [
            (false, alignment.from_m, alignment.from_m),
            (true, alignment.to_m, whole - alignment.to_m),
        ]
        .into_iter()
        .filter(|&(below, ..)| has(below))
        .map(|(below, at_m, outside_m)| {
            let sds = &before.heights.sd_m;
            let end_sd = if below { sds.last() } else { sds.first() };
            let tied = end_sd.is_some_and(|sd| *sd < TIED_SD_M);
            let taper = if wanders(before) || wanders(after) {
                WALK_TAPER_M
            } else {
                BOOK_TAPER_M
            };
            let inside = wanders(after) && (!wanders(before) || (tied && outside_m < 0.5 * taper));
            let taper_m = if inside {
                taper.min(covered)
            } else if tied {
                taper.min(outside_m)
            } else {
                taper
            };
            Self {
                at_m,
                below,
                inside,
                taper_m: taper_m.max(1e-6),
            }
        })
        .collect()
    }

    /// What is added to the earlier line's height at a station outside, of a step (later less earlier), m.
    pub(super) fn outside_m(&self, station_m: f64, step_m: f64) -> f64 {
        let out = if self.below {
            station_m - self.at_m
        } else {
            self.at_m - station_m
        };
        if self.inside || out < 0.0 {
            0.0
        } else {
            step_m * self.left(out)
        }
    }

    /// What is taken off the later line's height at a station inside, m.
    pub(super) fn inside_m(&self, station_m: f64, step_m: f64) -> f64 {
        if self.inside {
            step_m * self.left((station_m - self.at_m).abs())
        } else {
            0.0
        }
    }

    /// Share of the step that is left at a distance from the seam.
    fn left(&self, distance_m: f64) -> f64 {
        (1.0 - distance_m / self.taper_m).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_is_let_out_on_one_side_only() {
        let outside = Seam {
            at_m: 100.0,
            below: false,
            inside: false,
            taper_m: 50.0,
        };
        assert!((outside.outside_m(100.0, 0.4) - 0.4).abs() < 1e-12);
        assert!((outside.outside_m(75.0, 0.4) - 0.2).abs() < 1e-12);
        assert_eq!(outside.outside_m(20.0, 0.4), 0.0);
        assert_eq!(outside.outside_m(101.0, 0.4), 0.0);
        assert_eq!(outside.inside_m(100.0, 0.4), 0.0);
        let inside = Seam {
            inside: true,
            below: true,
            ..outside
        };
        assert_eq!(inside.outside_m(100.0, 0.4), 0.0);
        assert!((inside.inside_m(75.0, 0.4) - 0.2).abs() < 1e-12);
    }
}
