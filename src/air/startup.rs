//! The start of a drained line: which crests seal, and how much head the air behind them eats.
//!
//! A dry pipe filled slowly: water spills over a crest, runs down the far side as a film and seals the low. The falling leg keeps its air,
//! and the head must lift the water over the next crest with that air in between. Basis page: start-up.

use super::leg::FallingLeg;
use super::openings::Openings;
use super::pipe_profile::PipeProfile;
use crate::numeric::series::interpolate;
use crate::numeric::series::{at, last};

/// What presses at both ends of a start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ends {
    /// Still water at the intake, m.
    pub level_m: f64,
    /// Pressure of the site's air as a head of water, m.
    pub air_head_m: f64,
}

/// One crest that seals, as the recursion leaves it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct CrestState {
    /// Low before it, m.
    pub low_station_m: f64,
    /// Crest, m.
    pub station_m: f64,
    /// Low behind it, which seals its falling leg, m.
    pub next_low_station_m: f64,
    /// Height of the low before it, m.
    pub low_m: f64,
    /// Height of the crest, m.
    pub height_m: f64,
    /// Height of the low behind it, m.
    pub next_low_m: f64,
    /// A vent lets the air of its falling leg out.
    pub vented: bool,
    /// The crest of a siphon that somebody filled: it is full of water and asks for no head of its own.
    pub primed: bool,
    /// Height of the air when the leg seals, m: from the crest down to the low, or to a vent on the leg.
    pub sealed_m: f64,
    /// Height of the air when it is squeezed, m.
    pub squeezed_m: f64,
    /// Volume of the air when the leg seals, m3.
    pub sealed_m3: f64,
    /// Volume when squeezed, m3.
    pub squeezed_m3: f64,
    /// Head needed at this crest, worst case, m (elevation).
    pub needs_worst_m: f64,
    /// Head needed at this crest with the air squeezed, m (elevation).
    pub needs_squeezed_m: f64,
}

/// A crest between two lows that water seals: indexes into the course.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hump {
    /// Low before it.
    pub low: usize,
    /// Crest.
    pub crest: usize,
    /// Low behind it.
    pub next_low: usize,
}

/// What the course does: its sealed crests, and where the last water stands.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Humps {
    /// Crests that seal, in order.
    pub sealed: Vec<Hump>,
    /// The last low, where there is any climb at all, and the highest point after it.
    pub last: Option<(usize, usize)>,
    /// Height that the water must reach at the lower end, m.
    pub last_m: f64,
}

/// The outcome of one start.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Outcome {
    /// Sealed crests in order.
    pub crests: Vec<CrestState>,
    /// Head needed at the intake with every unvented leg full, m (elevation).
    pub needs_worst_m: f64,
    /// Head needed with the air squeezed, m (elevation).
    pub needs_squeezed_m: f64,
}

impl Outcome {
    /// Sealed crests between two stations, m: they stand in order, so they are found by halving.
    pub fn crests_within(&self, from_m: f64, to_m: f64) -> &[CrestState] {
        let first = self.crests.partition_point(|c| c.station_m < from_m);
        let end = self.crests.partition_point(|c| c.station_m <= to_m);
        self.crests.get(first..end).unwrap_or_default()
    }

    /// Head to spare in the worst case, m.
    pub fn margin_worst_m(&self, ends: Ends) -> f64 {
        ends.level_m - self.needs_worst_m
    }

    /// Head to spare with the air squeezed, m.
    pub fn margin_squeezed_m(&self, ends: Ends) -> f64 {
        ends.level_m - self.needs_squeezed_m
    }
}

impl PipeProfile<'_> {
    pub(super) fn point(&self, i: usize) -> Option<(f64, f64, f64)> {
        Some((
            *self.station_m.get(i)?,
            *self.height_m.get(i)?,
            *self.bore_m.get(i)?,
        ))
    }

    pub(super) fn height(&self, i: usize) -> f64 {
        at(self.height_m, i)
    }

    pub(super) fn station(&self, i: usize) -> f64 {
        at(self.station_m, i)
    }

    pub(super) fn bore(&self, i: usize) -> f64 {
        at(self.bore_m, i)
    }

    /// The crests that seal.
    ///
    /// A low seals when the pipe beyond it rises until the bottom of the bore stands above the crown at the low: by more than a bore.
    /// A fall of less than a bore holds no pocket either: while the water rises its air is pushed back over the crest before it. Both are ripples.
    pub fn humps(&self) -> Humps {
        let mut sealed: Vec<Hump> = Vec::new();
        // low that was passed and the highest point since, once a climb has begun
        let mut climbing: Option<(usize, usize)> = None;
        let mut falls = true;
        let mut least = 0;
        let bore = |a: usize, b: usize| 0.5 * (self.bore(a) + self.bore(b));
        for (i, &z) in self.height_m.iter().enumerate() {
            match climbing {
                Some((low, crest)) if !falls => {
                    if z > self.height(crest) {
                        climbing = Some((low, i));
                    } else if self.height(crest) - z > bore(crest, i) {
                        falls = true;
                        least = i;
                    }
                }
                passed => {
                    if z < self.height(least) {
                        least = i;
                    } else if z - self.height(least) > bore(least, i) {
                        sealed.extend(passed.map(|(low, crest)| Hump {
                            low,
                            crest,
                            next_low: least,
                        }));
                        climbing = Some((least, i));
                        falls = false;
                    }
                }
            }
        }
        let last_m = climbing.map_or_else(|| last(self.height_m), |(_, crest)| self.height(crest));
        Humps {
            sealed,
            last: climbing,
            last_m,
        }
    }

    /// The start with these vents.
    ///
    /// Units m. Exact for the picture above: pockets seal at the air's own pressure, isothermal, water columns at rest.
    /// Source: own derivation from hydrostatics and Boyle's law; for full legs the same as the handbook check that the head at each block
    /// exceeds the sum of the falling legs (from memory: Jordan, gravity-flow water systems). A marched fill in small parcels agrees (tests/all/air.rs).
    /// Where the siphon at the intake is primed, crests up to a station, m, are full of water and hang below the air's pressure; else that station is minus infinity.
    pub fn start_primed(
        &self,
        humps: &Humps,
        ends: Ends,
        vents_m: &[f64],
        primed_to_m: f64,
    ) -> Outcome {
        let openings = Openings::of(vents_m);
        let last_m = self.last_m(humps, primed_to_m);
        let mut worst = last_m;
        let mut squeezed = last_m;
        let mut crests: Vec<CrestState> = humps
            .sealed
            .iter()
            .rev()
            .map(|hump| {
                let leg = FallingLeg::down(self, hump.crest, hump.next_low, &openings);
                let height_m = self.height(hump.crest);
                let primed = self.station(hump.crest) <= primed_to_m;
                let (head_m, volume_m3) = if primed {
                    (0.0, 0.0)
                } else if leg.vented {
                    worst = worst.max(height_m);
                    squeezed = squeezed.max(height_m);
                    (0.0, 0.0)
                } else {
                    worst = worst.max(leg.bottom_m) + leg.sealed_height_m();
                    let base = squeezed.max(leg.bottom_m);
                    let held = leg.squeezed(base, ends.air_head_m);
                    squeezed = base + held.0;
                    held
                };
                CrestState {
                    low_station_m: self.station(hump.low),
                    station_m: self.station(hump.crest),
                    next_low_station_m: self.station(hump.next_low),
                    low_m: self.height(hump.low),
                    height_m,
                    next_low_m: self.height(hump.next_low),
                    vented: leg.vented,
                    primed,
                    sealed_m: if primed { 0.0 } else { leg.sealed_height_m() },
                    squeezed_m: head_m,
                    sealed_m3: if primed { 0.0 } else { leg.sealed_m3() },
                    squeezed_m3: volume_m3,
                    needs_worst_m: worst,
                    needs_squeezed_m: squeezed,
                }
            })
            .collect();
        crests.reverse();
        Outcome {
            crests,
            needs_worst_m: worst,
            needs_squeezed_m: squeezed,
        }
    }
}

impl PipeProfile<'_> {
    /// Height that the water must reach at the lower end: the last crest's, or the end's where that crest is primed.
    pub(super) fn last_m(&self, humps: &Humps, primed_to_m: f64) -> f64 {
        match humps.last {
            Some((_, crest)) if self.station(crest) <= primed_to_m => {
                self.height(self.height_m.len().saturating_sub(1))
            }
            _ => humps.last_m,
        }
    }

    /// Volume of the bore between two stations of the course, given by their indexes, m3.
    pub fn volume_m3(&self, from: usize, to: usize) -> f64 {
        (from..to)
            .filter_map(|i| Some((self.point(i)?, self.point(i + 1)?)))
            .map(|((s0, _, bore), (s1, ..))| std::f64::consts::FRAC_PI_4 * bore * bore * (s1 - s0))
            .sum()
    }

    /// Height of the pipe at a station, m: straight between the stations of the course.
    pub(super) fn at(&self, station_m: f64) -> f64 {
        interpolate(self.station_m, self.height_m, station_m)
    }

    /// Lowest height of the pipe between two stations, m.
    pub fn lowest_between(&self, a_m: f64, b_m: f64) -> f64 {
        let (from, to) = (a_m.min(b_m), a_m.max(b_m));
        let first = self.station_m.partition_point(|&s| s < from);
        let end = self.station_m.partition_point(|&s| s <= to);
        let ends = [from, to].map(|s| self.at(s));
        self.height_m
            .get(first..end)
            .unwrap_or_default()
            .iter()
            .copied()
            .chain(ends)
            .fold(f64::INFINITY, f64::min)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numeric::math;

    const SEA: f64 = 10.33;

    fn start(points: &[(f64, f64)], vents_m: &[f64]) -> (f64, f64, Outcome) {
        let station_m: Vec<f64> = points.iter().map(|p| p.0).collect();
        let height_m: Vec<f64> = points.iter().map(|p| p.1).collect();
        let bore_m = vec![0.05; points.len()];
        let course = PipeProfile {
            station_m: &station_m,
            height_m: &height_m,
            bore_m: &bore_m,
        };
        let ends = Ends {
            level_m: height_m[0],
            air_head_m: SEA,
        };
        let outcome = course.start_primed(&course.humps(), ends, vents_m, f64::NEG_INFINITY);
        (
            outcome.margin_worst_m(ends),
            outcome.margin_squeezed_m(ends),
            outcome,
        )
    }

    const ONE: &[(f64, f64)] = &[
        (0.0, 100.0),
        (50.0, 90.0),
        (90.0, 95.0),
        (170.0, 80.0),
        (230.0, 88.0),
    ];

    #[test]
    fn one_hump_by_hand() {
        // 5 m to spare at the crest, 8 m to lift beyond it; squeezed: d^2 + 3.33 d = 15 x 10.33
        let (worst, squeezed, outcome) = start(ONE, &[]);
        let d = (-3.33 + (math::powi(3.33_f64, 2) + 4.0 * 15.0 * SEA).sqrt()) / 2.0;
        assert!((worst + 3.0).abs() < 1e-9);
        assert!((squeezed - (100.0 - 88.0 - d)).abs() < 1e-9);
        assert!((outcome.crests[0].squeezed_m - d).abs() < 1e-9);
    }

    #[test]
    fn a_vent_at_the_crest_takes_the_pocket_away() {
        let (worst, squeezed, outcome) = start(ONE, &[90.0]);
        assert_eq!((worst, squeezed), (5.0, 5.0));
        assert!(outcome.crests[0].vented);
    }

    #[test]
    fn a_vent_half_way_down_leaves_the_upper_half() {
        let (worst, squeezed, _) = start(ONE, &[130.0]);
        assert!((worst - (100.0 - 88.0 - 7.5)).abs() < 1e-9);
        assert!(squeezed > worst);
        // below the low it is of no use
        assert_eq!(start(ONE, &[200.0]).0, -3.0);
    }

    #[test]
    fn a_last_leg_falling_free_changes_nothing() {
        let mut longer = ONE.to_vec();
        longer.push((300.0, 60.0));
        assert_eq!(start(&longer, &[]).0, start(ONE, &[]).0);
    }

    #[test]
    fn a_climb_seals_only_above_a_bore() {
        let line = |rise: f64| {
            vec![
                (0.0, 20.0),
                (50.0, 10.0),
                (60.0, 10.0 + rise),
                (90.0, 5.0),
                (100.0, 6.0),
            ]
        };
        assert!(start(&line(0.049), &[]).2.crests.is_empty());
        assert_eq!(start(&line(0.051), &[]).2.crests.len(), 1);
    }

    #[test]
    fn points_on_the_way_up_are_no_crests() {
        let mut fine = Vec::new();
        for pair in ONE.windows(2) {
            for k in 0..20 {
                let t = f64::from(k) / 20.0;
                fine.push((
                    pair[0].0 + t * (pair[1].0 - pair[0].0),
                    pair[0].1 + t * (pair[1].1 - pair[0].1),
                ));
            }
        }
        fine.push(ONE[4]);
        let (worst, squeezed, outcome) = start(&fine, &[]);
        assert_eq!(outcome.crests.len(), 1);
        assert!((worst + 3.0).abs() < 1e-9);
        assert!((squeezed - start(ONE, &[]).1).abs() < 1e-9);
    }

    #[test]
    fn ripples_are_no_humps() {
        let line: Vec<(f64, f64)> = (0..200)
            .map(|i| {
                let s = f64::from(i);
                (s, 50.0 - 0.1 * s + if i % 2 == 0 { 0.04 } else { -0.04 })
            })
            .collect();
        assert!(start(&line, &[]).2.crests.is_empty());
    }

    #[test]
    fn an_even_fall_has_no_pocket() {
        let (worst, squeezed, outcome) = start(&[(0.0, 50.0), (200.0, 10.0)], &[]);
        assert_eq!((worst, squeezed), (40.0, 40.0));
        assert!(outcome.crests.is_empty());
    }

    #[test]
    fn the_real_shape_of_the_leg_counts() {
        // hollow: most of the air lies low, so squeezing it takes little off its height; full: most lies just below the crest
        let hollow = [
            (0.0, 100.0),
            (50.0, 90.0),
            (90.0, 95.0),
            (100.0, 81.0),
            (170.0, 80.0),
            (230.0, 88.0),
        ];
        let full = [
            (0.0, 100.0),
            (50.0, 90.0),
            (90.0, 95.0),
            (160.0, 94.0),
            (170.0, 80.0),
            (230.0, 88.0),
        ];
        assert!(start(&hollow, &[]).1 < start(ONE, &[]).1);
        assert!(start(&full, &[]).1 > start(ONE, &[]).1);
        assert_eq!(start(&hollow, &[]).0, start(&full, &[]).0);
    }
}
