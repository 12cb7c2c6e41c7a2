//! Where the line begins and ends, and how far the walks may have gone on beyond their last fixes.

use super::centre::LegPass;
use super::polyline::Polyline;
use crate::numeric::math;

/// A walk within this of the outermost first or last fix reaches there, m.
const REACHES_M: f64 = 20.0;
/// A foot is sought so far beyond what the blocks reach, m: means of blocks pull both ends in.
const FOOT_M: f64 = 30.0;

/// One end of the line.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct LineEnd {
    /// The mean of the raw first and last fixes of the walks that reach there, m.
    pub(crate) station_m: f64,
    /// How far beyond it the walks stopped recording, m: the mean, and the variance of it, m2.
    short_m: f64,
    short_m2: f64,
}

/// Both ends, in the order of the line's stations.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct LineEnds {
    pub(crate) start: LineEnd,
    pub(crate) end: LineEnd,
}

/// A walk at an end of the line: where its outermost raw fix is, and the way between its last fixes where it ends there, m (0 where it begins, and where a line without times was drawn).
struct WalkEnd {
    station_m: f64,
    between_m: f64,
}

impl LineEnds {
    pub(crate) fn of(line: &Polyline, passes: &[LegPass]) -> Self {
        let (mut low, mut high) = (Vec::new(), Vec::new());
        for pass in passes {
            let (a, b) = pass.along.reach_m();
            let near = |at: [f64; 2], s: f64| line.foot(at, s - FOOT_M, s + FOOT_M).station_m;
            let [first, last] = pass.ends;
            let begins = |station_m| WalkEnd {
                station_m,
                between_m: 0.0,
            };
            let stops = |station_m| WalkEnd {
                station_m,
                between_m: if pass.has_clock {
                    between_last_fixes(pass)
                } else {
                    0.0
                },
            };
            if pass.along.forward {
                low.push(begins(near(first, a)));
                high.push(stops(near(last, b)));
            } else {
                low.push(stops(near(last, a)));
                high.push(begins(near(first, b)));
            }
        }
        let at = |r: &WalkEnd| r.station_m;
        let lowest = low.iter().map(at).fold(f64::INFINITY, f64::min);
        let highest = high.iter().map(at).fold(f64::NEG_INFINITY, f64::max);
        low.retain(|r| r.station_m < lowest + REACHES_M);
        high.retain(|r| r.station_m > highest - REACHES_M);
        Self {
            start: LineEnd::of(&low),
            end: LineEnd::of(&high),
        }
    }

    /// The same of the line turned round; stations are those of the line as it was.
    pub(crate) fn turned(self) -> Self {
        Self {
            start: self.end,
            end: self.start,
        }
    }

    /// What the length may lack, m: walks stop between two fixes, and the mean of where they stopped lies beyond the mean of their last fixes. An end whose place was given lacks nothing.
    pub(crate) fn beyond_m(&self, start: bool, end: bool) -> f64 {
        let open = [(start, self.start), (end, self.end)];
        let open = open
            .into_iter()
            .filter(|(open, _)| *open)
            .map(|(_, end)| end);
        let (mean_m, variance_m2) = open.fold((0.0, 0.0), |(mean, variance), end| {
            (mean + end.short_m, variance + end.short_m2)
        });
        math::hypot(mean_m, variance_m2.sqrt())
    }
}

impl LineEnd {
    /// A walk that ends here stopped anywhere between its last fix and the next that would have come.
    fn of(reached: &[WalkEnd]) -> Self {
        let count = reached.len().max(1) as f64;
        let sum = |of: fn(&WalkEnd) -> f64| reached.iter().map(of).sum::<f64>();
        Self {
            station_m: sum(|r| r.station_m) / count,
            short_m: 0.5 * sum(|r| r.between_m) / count,
            short_m2: sum(|r| r.between_m * r.between_m) / (12.0 * count * count),
        }
    }
}

/// Way between the last two fixes of a walk, m, as its last two blocks have it: nothing where it stood still.
fn between_last_fixes(pass: &LegPass) -> f64 {
    let blocks = &pass.along.blocks;
    let count = blocks.len();
    let raw = |back: usize| {
        let i = count.checked_sub(back)?;
        pass.along.raw_m.get(i).copied().zip(blocks.get(i))
    };
    let (Some((last, a)), Some((before, b))) = (raw(1), raw(2)) else {
        return 0.0;
    };
    (last - before).abs() / (0.5 * (a.fixes + b.fixes)).max(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Four walks, two that end here with 3.2 m between their last fixes and two that begin here: by hand, 0.8 m short on the mean, variance 3.2^2 / 12 * 2 / 16.
    #[test]
    fn walks_stop_between_two_fixes() {
        let reached = |between_m| WalkEnd {
            station_m: 100.0,
            between_m,
        };
        let end = LineEnd::of(&[reached(3.2), reached(0.0), reached(3.2), reached(0.0)]);
        assert!((end.short_m - 0.8).abs() < 1e-12 && (end.station_m - 100.0).abs() < 1e-12);
        assert!((end.short_m2 - 3.2 * 3.2 / 96.0).abs() < 1e-12);
        let ends = LineEnds {
            start: end,
            end: LineEnd::of(&[reached(0.0)]),
        };
        let one = math::hypot(0.8, (3.2f64 * 3.2 / 96.0).sqrt());
        assert!((ends.beyond_m(true, true) - one).abs() < 1e-12);
        assert!((ends.turned().beyond_m(false, true) - one).abs() < 1e-12);
        assert_eq!(ends.beyond_m(false, true), 0.0);
        // Both ends lack in the same sense: their means add.
        let both = LineEnds { start: end, end };
        assert!(both.beyond_m(true, true) > 1.6);
    }
}
