/// Where one walk does not stand alone: more than the model of a receiver's errors shows the ground there.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Backed {
    /// Reaches that were levelled, walked more than once, or walked with a barometer: from, to, m.
    pub reaches_m: Vec<(f64, f64)>,
    /// Places where the walker stood still so long that the receiver's own wandering was seen there, m.
    pub halts_m: Vec<f64>,
}

/// A climb's low or crest this near a halt was stood on, m.
const AT_HALT_M: f64 = 8.0;

impl Backed {
    /// Whether a climb from a low to a crest is shown by more than one walk alone: by a reach that holds both, or by a halt at each.
    pub fn between(&self, low_m: f64, crest_m: f64) -> bool {
        let held = |&(a, b): &(f64, f64)| a <= low_m && crest_m <= b;
        let halt = |at: f64| {
            let near = self.halts_m.iter().map(move |h| (h - at).abs());
            near.fold(f64::INFINITY, f64::min) <= AT_HALT_M
        };
        // One long halt between the two shows neither.
        let two = crest_m - low_m > AT_HALT_M && halt(low_m) && halt(crest_m);
        two || self.reaches_m.iter().any(held)
    }

    /// The same in another reckoning, one that may run the other way.
    #[must_use]
    pub fn onto(&self, other: impl Fn(f64) -> f64) -> Self {
        let on = |s: f64| if s.is_finite() { other(s) } else { s };
        let turned = |&(a, b): &(f64, f64)| (on(a).min(on(b)), on(a).max(on(b)));
        Self {
            reaches_m: self.reaches_m.iter().map(turned).collect(),
            halts_m: self.halts_m.iter().map(|&h| on(h)).collect(),
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
        }
    }

    /// Adds what another part of the line has.
    pub fn join(&mut self, other: Self) {
        self.reaches_m.extend(other.reaches_m);
        self.halts_m.extend(other.halts_m);
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
}
