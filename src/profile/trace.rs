/// One climb of one line, as indices of its stations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct LineClimb {
    pub(super) low: usize,
    pub(super) crest: usize,
    /// The low after the crest: where the next climb begins, or the lowest point down to the end.
    pub(super) next_low: usize,
}

use crate::numeric::series;

/// Every climb of a line that rises by more than its threshold, in order, each followed by a fall of more than the threshold or by the end.
///
/// Smaller ups and downs are passed over. `threshold_m`: one value a station. Linear in the number of stations.
pub(super) fn legs(height_m: &[f64], threshold_m: &[f64], out: &mut Vec<LineClimb>) {
    out.clear();
    let Some(&first) = height_m.first() else {
        return;
    };
    let (mut low, mut low_m) = (0, first);
    let (mut crest, mut crest_m) = (0, first);
    let mut up = false;
    for (i, (&z, &p)) in height_m.iter().zip(threshold_m).enumerate() {
        if up {
            if z > crest_m {
                (crest, crest_m) = (i, z);
            } else if crest_m - z > p {
                out.push(LineClimb {
                    low,
                    crest,
                    next_low: i,
                });
                up = false;
                (low, low_m) = (i, z);
            }
        } else if z <= low_m {
            (low, low_m) = (i, z);
        } else if z - low_m > p {
            up = true;
            (crest, crest_m) = (i, z);
        }
        if !up && let Some(last) = out.last_mut() {
            last.next_low = low;
        }
    }
    if up {
        out.push(LineClimb {
            low,
            crest,
            next_low: height_m.len() - 1,
        });
    }
}

/// Largest rise of a line between two indices, the higher point below the lower one, m.
pub(super) fn largest_rise(height_m: &[f64]) -> f64 {
    let mut low = f64::INFINITY;
    height_m.iter().fold(0.0, |most: f64, &z| {
        low = low.min(z);
        most.max(z - low)
    })
}

/// Shape of a climb on one line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ClimbShape {
    pub(super) rise_m: f64,
    /// Where the line is down again to the low's height, or the next low, or the end.
    pub(super) end_m: f64,
    /// Air that stays above the level at which it spills, m3.
    pub(super) pocket_m3: f64,
}

/// A line with what is needed to measure it.
#[derive(Debug, Clone, Copy)]
pub(super) struct MeasuredLine<'a> {
    pub(super) station_m: &'a [f64],
    pub(super) height_m: &'a [f64],
    /// Area of the bore between each station and the next, m2.
    pub(super) area_m2: &'a [f64],
}

impl MeasuredLine<'_> {
    fn at(&self, i: usize) -> (f64, f64) {
        let value = |list: &[f64]| series::at(list, i);
        (value(self.station_m), value(self.height_m))
    }

    /// Rise, end and pocket of a climb.
    ///
    /// Air spills round the higher of the two lows beside the crest; what lies above that level, level-filled, is the pocket. A climb to the very end has only the low above it to spill round.
    pub(super) fn shape(&self, leg: &LineClimb) -> ClimbShape {
        let (_, low_m) = self.at(leg.low);
        let (_, crest_m) = self.at(leg.crest);
        let last = self.height_m.len().saturating_sub(1);
        let spill_m = if leg.crest >= last {
            low_m
        } else {
            low_m.max(self.at(leg.next_low).1)
        };
        let mut end_m = self.at(leg.next_low).0;
        let mut pocket_m3 = 0.0;
        let mut down = false;
        for i in leg.low..leg.next_low {
            let ((s0, z0), (s1, z1)) = (self.at(i), self.at(i + 1));
            let above = share_above(z0 - spill_m, z1 - spill_m) * (s1 - s0);
            pocket_m3 += above * series::at(self.area_m2, i);
            if i >= leg.crest && !down && z1 <= low_m && z0 > z1 {
                end_m = s0 + (s1 - s0) * ((z0 - low_m) / (z0 - z1)).clamp(0.0, 1.0);
                down = true;
            }
        }
        ClimbShape {
            rise_m: crest_m - low_m,
            end_m,
            pocket_m3,
        }
    }
}

/// Share of a straight piece that lies above zero.
fn share_above(a: f64, b: f64) -> f64 {
    match (a > 0.0, b > 0.0) {
        (true, true) => 1.0,
        (false, false) => 0.0,
        _ => a.max(b) / (a - b).abs(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn of(z: &[f64], p: f64) -> Vec<(usize, usize, usize)> {
        let mut legs_found = Vec::new();
        legs(z, &vec![p; z.len()], &mut legs_found);
        legs_found
            .iter()
            .map(|l| (l.low, l.crest, l.next_low))
            .collect()
    }

    #[test]
    fn every_high_is_a_climb_of_its_own() {
        // Falls, three highs with deep lows between, up to the end.
        let z = [100.0, 80.0, 92.0, 78.0, 90.0, 74.0, 88.0, 70.0, 76.0];
        assert_eq!(of(&z, 0.05), [(1, 2, 3), (3, 4, 5), (5, 6, 7), (7, 8, 8)]);
        assert!(of(&[5.0, 4.0, 4.04, 3.0], 0.05).is_empty());
        // A dip smaller than the threshold does not part a climb.
        assert_eq!(of(&[5.0, 4.0, 4.5, 4.47, 5.5, 1.0], 0.05), [(1, 4, 5)]);
        assert_eq!(of(&[1.0, 2.0, 0.0], 0.05), [(0, 1, 2)]);
        assert!(of(&[], 0.05).is_empty());
    }

    #[test]
    fn pocket_is_what_lies_above_the_higher_low() {
        let line = MeasuredLine {
            station_m: &[0.0, 10.0, 20.0, 40.0],
            height_m: &[5.0, 0.0, 2.0, -2.0],
            area_m2: &[0.01; 3],
        };
        let shape = line.shape(&LineClimb {
            low: 1,
            crest: 2,
            next_low: 3,
        });
        assert_eq!((shape.rise_m, shape.end_m), (2.0, 30.0));
        assert!((shape.pocket_m3 - 0.2).abs() < 1e-12);
        // The next low is the higher one: air spills there.
        let line = MeasuredLine {
            station_m: &[0.0, 10.0, 20.0, 30.0, 40.0],
            height_m: &[5.0, 0.0, 2.0, 1.0, 3.0],
            area_m2: &[0.01; 4],
        };
        let shape = line.shape(&LineClimb {
            low: 1,
            crest: 2,
            next_low: 3,
        });
        assert_eq!(shape.end_m, 30.0);
        assert!((shape.pocket_m3 - 0.15).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn climbs_where_and_only_where_something_below_stands_higher(z in prop::collection::vec(-5.0..5.0f64, 1..60), p in 0.1..3.0f64) {
            let found = of(&z, p);
            prop_assert_eq!(found.is_empty(), largest_rise(&z) <= p);
            for &(low, crest, next) in &found {
                prop_assert!(low < crest && crest <= next);
                prop_assert!(z[crest] - z[low] > p);
            }
            prop_assert!(found.windows(2).all(|w| w[0].2 == w[1].0));
        }
    }
}
