/// Where one walk does not stand alone: more than the model of a receiver's errors shows the ground there.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Backed {
    /// Reaches that were levelled, walked more than once, or walked with a barometer: from, to, m.
    pub reaches_m: Vec<(f64, f64)>,
    /// Places where the walker stood still so long that the receiver's own wandering was seen there, m.
    pub halts_m: Vec<f64>,
    /// For each of several walks over the same reach: the middle line of the others without it, stations (rising) and heights, m.
    pub without: Vec<Vec<(f64, f64)>>,
}

/// A climb's low or crest this near a halt was stood on, m.
const AT_HALT_M: f64 = 8.0;

impl Backed {
    /// Whether a climb from a low to a crest is shown by more than one walk alone: by a reach that holds both, by a halt at each, or by several walks none of which it hangs on.
    pub fn between(&self, low_m: f64, crest_m: f64) -> bool {
        let held = |&(a, b): &(f64, f64)| a <= low_m && crest_m <= b;
        let halt = |at: f64| {
            let near = self.halts_m.iter().map(move |h| (h - at).abs());
            near.fold(f64::INFINITY, f64::min) <= AT_HALT_M
        };
        // One long halt between the two shows neither.
        let two = crest_m - low_m > AT_HALT_M && halt(low_m) && halt(crest_m);
        two || self.reaches_m.iter().any(held) || self.without_any(low_m, crest_m) == Some(true)
    }

    /// Whether a climb is there still, whichever of several walks is left out; `None` where not several went.
    ///
    /// One receiver whose error runs away for minutes makes a climb that two good ones do not undo: so it is on real passes (docs/calibration.md).
    pub fn without_any(&self, low_m: f64, crest_m: f64) -> Option<bool> {
        let rises = self.without.iter().filter_map(|line| {
            let (first, last) = line.first().zip(line.last())?;
            let height = |s: f64| {
                let (a, b) = below_and_above(line, s)?;
                let share = if b.0 > a.0 {
                    (s - a.0) / (b.0 - a.0)
                } else {
                    0.0
                };
                Some(a.1 + share * (b.1 - a.1))
            };
            let covers = first.0 <= low_m + AT_HALT_M && crest_m - AT_HALT_M <= last.0;
            covers.then(|| height(low_m).zip(height(crest_m)))?
        });
        rises.map(|(low, crest)| crest > low).reduce(|a, b| a && b)
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
                    let mut line: Vec<(f64, f64)> = line.iter().map(|&(s, z)| (on(s), z)).collect();
                    line.sort_by(|a, b| a.0.total_cmp(&b.0));
                    line
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
                    let inside = line.iter().filter(|(s, _)| (from_m..=to_m).contains(s));
                    inside.map(|&(s, z)| (s + by_m, z)).collect()
                })
                .filter(|line: &Vec<_>| line.len() > 1)
                .collect(),
        }
    }

    /// Adds what another part of the line has.
    pub fn join(&mut self, other: Self) {
        self.reaches_m.extend(other.reaches_m);
        self.halts_m.extend(other.halts_m);
        self.without.extend(other.without);
    }
}

/// The two points of a line on both sides of a station; beyond an end twice the end.
fn below_and_above(line: &[(f64, f64)], station_m: f64) -> Option<((f64, f64), (f64, f64))> {
    let above = line.partition_point(|p| p.0 < station_m);
    let at = |i: usize| line.get(i).copied();
    Some((
        at(above.saturating_sub(1))?,
        at(above).or_else(|| line.last().copied())?,
    ))
    .map(|(a, b): ((f64, f64), (f64, f64))| {
        if station_m <= a.0 {
            (a, a)
        } else if station_m >= b.0 {
            (b, b)
        } else {
            (a, b)
        }
    })
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
        assert!(backed.between(110.0, 140.0) && !backed.between(90.0, 140.0));
        assert!(backed.between(296.0, 334.0) && !backed.between(270.0, 330.0));
        // One halt at both is no halt at each.
        assert!(!backed.between(497.0, 502.0));
        let part = backed.cut(120.0, 320.0, -120.0);
        assert_eq!(part.reaches_m, [(0.0, 30.0)]);
        assert_eq!(part.halts_m, [180.0]);
        let turned = backed.onto(|s| 1000.0 - 2.0 * s);
        assert_eq!(turned.halts_m, [400.0, 340.0, 0.0]);
        assert_eq!(turned.reaches_m, [(700.0, 800.0)]);
    }

    #[test]
    fn a_climb_that_one_walk_makes_alone_is_not_backed() {
        // Both lines rise from 20 to 40 m; the second falls from 60 to 80 m, where the first rises.
        let line = |heights: [f64; 5]| (0..5).map(|i| 20.0 * f64::from(i)).zip(heights).collect();
        let backed = Backed {
            without: vec![
                line([5.0, 3.0, 4.0, 2.0, 3.0]),
                line([5.0, 3.0, 3.5, 2.0, 1.0]),
            ],
            ..Backed::default()
        };
        assert_eq!(backed.without_any(20.0, 40.0), Some(true));
        assert_eq!(backed.without_any(60.0, 80.0), Some(false));
        assert_eq!(backed.without_any(22.0, 38.0), Some(true));
        assert!(backed.between(20.0, 40.0) && !backed.between(60.0, 80.0));
        // Turned about, a fall is a climb.
        let turned = backed.onto(|s| 80.0 - s);
        assert_eq!(turned.without_any(0.0, 20.0), Some(false));
        assert_eq!(turned.without_any(20.0, 40.0), Some(true));
        assert_eq!(
            backed.cut(20.0, 40.0, 100.0).without_any(120.0, 140.0),
            Some(true)
        );
        assert_eq!(Backed::default().without_any(0.0, 10.0), None);
    }
}
