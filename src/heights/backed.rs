use crate::numeric::series::interpolate;

/// Where one walk does not stand alone: more than the model of a receiver's errors shows the ground there.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Backed {
    /// Reaches that were levelled, walked more than once, or walked with a barometer: from, to, m.
    pub reaches_m: Vec<(f64, f64)>,
    /// Places where the walker stood still so long that the receiver's own wandering was seen there, m.
    pub halts_m: Vec<f64>,
    /// For each of several walks over the same reach: how far the middle line without it stands off the middle line of all.
    pub without: Vec<WithoutWalk>,
}

/// The middle line without one of several walks, held against the middle line of them all: so it goes along where a pipe is laid off the ground.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct WithoutWalk {
    /// Stations, m, rising.
    pub station_m: Vec<f64>,
    /// How much higher the line is there without the walk, m.
    pub off_m: Vec<f64>,
}

impl WithoutWalk {
    /// From points in the order of their stations.
    fn from_points(points: impl Iterator<Item = (f64, f64)>) -> Self {
        let (station_m, off_m) = points.unzip();
        Self { station_m, off_m }
    }

    /// How much higher the line is at a station without the walk, m; `None` more than `slack_m` beyond what it reaches.
    pub fn off(&self, station_m: f64, slack_m: f64) -> Option<f64> {
        let (first, last) = self.station_m.first().zip(self.station_m.last())?;
        let covers = *first - slack_m <= station_m && station_m <= *last + slack_m;
        covers.then(|| interpolate(&self.station_m, &self.off_m, station_m))
    }

    fn points(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.station_m
            .iter()
            .copied()
            .zip(self.off_m.iter().copied())
    }
}

/// A climb's low or crest this near a halt was stood on, m.
const AT_HALT_M: f64 = 8.0;

/// What is left of a climb without any one of several walks, as a share of it, at least: less is the word of that walk alone, which the others only do not deny.
const LEFT: f64 = 0.2;

impl Backed {
    /// Whether a climb of the middle line by `rise_m` from a low to a crest is shown by more than one walk alone: by a reach that holds both, by a halt at each, or by several walks none of which it hangs on.
    pub fn between(&self, low_m: f64, crest_m: f64, rise_m: f64) -> bool {
        let halt = |at: f64| {
            let near = self.halts_m.iter().map(move |h| (h - at).abs());
            near.fold(f64::INFINITY, f64::min) <= AT_HALT_M
        };
        // One long halt between the two shows neither.
        let two = crest_m - low_m > AT_HALT_M && halt(low_m) && halt(crest_m);
        two || self.held(low_m, crest_m) || self.without_any(low_m, crest_m, rise_m) == Some(true)
    }

    /// Whether one reach that more than a walk shows holds both stations.
    pub fn held(&self, low_m: f64, crest_m: f64) -> bool {
        let mut reaches = self.reaches_m.iter();
        reaches.any(|&(a, b)| a <= low_m && crest_m <= b)
    }

    /// Whether a climb of the middle line by `rise_m` is there still, whichever of several walks is left out; `None` where not several went.
    ///
    /// One receiver whose error runs away for minutes makes a climb that two good ones do not undo: so it is on real passes (docs/calibration.md).
    pub fn without_any(&self, low_m: f64, crest_m: f64, rise_m: f64) -> Option<bool> {
        let rises = self.without.iter().filter_map(|line| {
            let (low, crest) = (line.off(low_m, AT_HALT_M)?, line.off(crest_m, AT_HALT_M)?);
            Some(rise_m + crest - low)
        });
        rises
            .map(|rise| rise > LEFT * rise_m.max(0.0))
            .reduce(|a, b| a && b)
    }

    /// The same in another reckoning, one that may run the other way.
    #[must_use]
    pub fn onto(&self, other: impl Fn(f64) -> f64) -> Self {
        let on = |s: f64| if s.is_finite() { other(s) } else { s };
        let turned = |&(a, b): &(f64, f64)| (on(a).min(on(b)), on(a).max(on(b)));
        Self {
            reaches_m: self.reaches_m.iter().map(turned).collect(),
            halts_m: self.halts_m.iter().map(|&h| on(h)).collect(),
            without: self
                .without
                .iter()
                .map(|line| {
                    let mut points: Vec<_> = line.points().map(|(s, z)| (on(s), z)).collect();
                    points.sort_by(|a, b| a.0.total_cmp(&b.0));
                    WithoutWalk::from_points(points.into_iter())
                })
                .collect(),
        }
    }

    /// The part of it between two stations, so much further on.
    #[must_use]
    pub fn cut(&self, from_m: f64, to_m: f64, by_m: f64) -> Self {
        let reaches = self
            .reaches_m
            .iter()
            .map(|&(a, b)| (a.max(from_m), b.min(to_m)));
        Self {
            reaches_m: reaches
                .filter(|(a, b)| b > a)
                .map(|(a, b)| (a + by_m, b + by_m))
                .collect(),
            halts_m: self
                .halts_m
                .iter()
                .filter(|h| (from_m..=to_m).contains(*h))
                .map(|h| h + by_m)
                .collect(),
            without: self
                .without
                .iter()
                .map(|line| {
                    let inside = line.points().filter(|(s, _)| (from_m..=to_m).contains(s));
                    WithoutWalk::from_points(inside.map(|(s, z)| (s + by_m, z)))
                })
                .filter(|line| line.station_m.len() > 1)
                .collect(),
        }
    }

    /// Lays a span straight between two stations, m: the lines without a walk hang in it as the middle line does.
    pub fn lay_straight(&mut self, from_m: f64, to_m: f64) {
        for line in &mut self.without {
            let ends = [from_m, to_m].map(|s| line.off(s, 0.0).map(|off| (s, off)));
            let outside = line.points().filter(|&(s, _)| s < from_m || s > to_m);
            let mut points: Vec<_> = outside.chain(ends.into_iter().flatten()).collect();
            points.sort_by(|a, b| a.0.total_cmp(&b.0));
            *line = WithoutWalk::from_points(points.into_iter());
        }
    }

    /// Adds what another part of the line has.
    pub fn join(&mut self, other: Self) {
        self.reaches_m.extend(other.reaches_m);
        self.halts_m.extend(other.halts_m);
        self.without.extend(other.without);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_climb_is_backed_by_a_reach_or_by_a_halt_at_each_end() {
        let backed = Backed {
            reaches_m: vec![(100.0, 150.0)],
            halts_m: vec![300.0, 330.0, 500.0],
            ..Backed::default()
        };
        assert!(backed.between(110.0, 140.0, 1.0) && !backed.between(90.0, 140.0, 1.0));
        assert!(backed.between(296.0, 334.0, 1.0) && !backed.between(270.0, 330.0, 1.0));
        // One halt at both is no halt at each.
        assert!(!backed.between(497.0, 502.0, 1.0));
        let part = backed.cut(120.0, 320.0, -120.0);
        assert_eq!(part.reaches_m, [(0.0, 30.0)]);
        assert_eq!(part.halts_m, [180.0]);
        let turned = backed.onto(|s| 1000.0 - 2.0 * s);
        assert_eq!(turned.halts_m, [400.0, 340.0, 0.0]);
        assert_eq!(turned.reaches_m, [(700.0, 800.0)]);
    }

    #[test]
    fn a_climb_that_one_walk_makes_alone_is_not_backed() {
        // All together rise from 20 to 40 m and from 60 to 80 m; without the second walk the later rise is a fall.
        let line = |offs: [f64; 5]| {
            WithoutWalk::from_points((0..5).map(|i| 20.0 * f64::from(i)).zip(offs))
        };
        let backed = Backed {
            without: vec![
                line([0.0, 0.0, 0.2, 0.0, 1.0]),
                line([0.0, 0.0, -0.2, 0.0, -1.0]),
            ],
            ..Backed::default()
        };
        let any = |b: &Backed, low: f64, crest: f64| b.without_any(low, crest, 0.5);
        assert_eq!(any(&backed, 20.0, 40.0), Some(true));
        assert_eq!(any(&backed, 60.0, 80.0), Some(false));
        assert_eq!(any(&backed, 22.0, 38.0), Some(true));
        // Without the second walk a seventh of it is left: that is the word of one walk.
        assert!(backed.without_any(20.0, 40.0, 0.3) == Some(true));
        assert!(backed.without_any(20.0, 40.0, 0.23) == Some(false));
        assert!(backed.between(20.0, 40.0, 0.5) && !backed.between(60.0, 80.0, 0.5));
        // A pipe that is laid so that it rises more is there without any walk.
        assert!(backed.between(60.0, 80.0, 1.5));
        // Reckoned from the other end, what rose in one walk alone falls in the other.
        assert_eq!(any(&backed.onto(|s| 80.0 - s), 0.0, 20.0), Some(false));
        assert_eq!(any(&backed.onto(|s| 80.0 - s), 60.0, 80.0), Some(true));
        assert_eq!(
            any(&backed.cut(20.0, 40.0, 100.0), 120.0, 140.0),
            Some(true)
        );
        assert_eq!(
            any(&backed.cut(20.0, 80.0, 100.0), 160.0, 180.0),
            Some(false)
        );
        // In a span from 50 to 80 m the pipe knows nothing of the dip at 60 m.
        let mut span = backed.clone();
        span.lay_straight(50.0, 80.0);
        assert!((span.without[0].off(65.0, 0.0).unwrap() - 0.55).abs() < 1e-12);
        assert_eq!(span.without[0].off(90.0, 0.0), None);
        assert_eq!(any(&Backed::default(), 0.0, 10.0), None);
    }
}
