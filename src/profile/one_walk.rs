//! Climbs that the middle line has as soon as one walk is left out: where a fall hangs on one walk, the survey cannot tell.

use super::reach::ClimbStretch;
use super::trace::{ClimbShape, LineClimb, MeasuredLine, legs};
use crate::heights::Heights;
use crate::numeric::series;

/// Climbs of the middle line without one walk that no listed reach has, in order; of those that overlap the highest.
///
/// `half_m`: half a bore on each station, m. `area_m2`: the bore between each station and the next. Time grows with walks times stations.
pub(super) fn one_walk_climbs(
    heights: &Heights,
    half_m: &[f64],
    area_m2: &[f64],
    listed: &[ClimbStretch],
) -> Vec<(LineClimb, ClimbShape)> {
    let mut all: Vec<(LineClimb, ClimbShape)> = Vec::new();
    let mut found = Vec::new();
    for (first, height_m) in heights.without_each() {
        let rest = |values: &[f64]| values.get(first..).unwrap_or_default().to_vec();
        legs(&height_m, &rest(half_m), &mut found);
        let (station_m, area_m2) = (rest(&heights.station_m), rest(area_m2));
        let line = MeasuredLine {
            station_m: &station_m,
            height_m: &height_m,
            area_m2: &area_m2,
        };
        let on_all = |leg: &LineClimb| LineClimb {
            low: leg.low + first,
            crest: leg.crest + first,
            next_low: leg.next_low + first,
        };
        all.extend(found.iter().map(|leg| (on_all(leg), line.shape(leg))));
    }
    let apart = |low: usize, crest: usize, leg: &LineClimb| leg.crest <= low || crest <= leg.low;
    let at = |i: usize| series::at(&heights.station_m, i);
    let held = |leg: &LineClimb| heights.backed.held(at(leg.low), at(leg.crest));
    all.retain(|(leg, _)| !held(leg) && listed.iter().all(|l| apart(l.from, l.to, leg)));
    all.sort_by(|a, b| b.1.rise_m.total_cmp(&a.1.rise_m));
    let mut kept: Vec<(LineClimb, ClimbShape)> = Vec::new();
    for one in all {
        let leg = one.0;
        if kept.iter().all(|(k, _)| apart(k.low, k.crest, &leg)) {
            kept.push(one);
        }
    }
    kept.sort_by_key(|(leg, _)| leg.low);
    kept
}

#[cfg(test)]
mod tests {
    use super::super::{Bore, ClimbVerdict, judge};
    use crate::heights::{Backed, Heights, WithoutWalk};

    /// A line that falls by 2 m in 10 m, without one walk as it is given.
    fn without(walks: &[(f64, &[f64])]) -> Heights {
        let station_m: Vec<f64> = (0..6).map(|i| 10.0 * f64::from(i)).collect();
        let draw: Vec<f64> = (0..6).map(|i| 20.0 - 2.0 * f64::from(i)).collect();
        let lines = walks.iter().map(|(from, off)| WithoutWalk {
            station_m: (0..off.len()).map(|i| from + 10.0 * i as f64).collect(),
            off_m: off.to_vec(),
        });
        Heights {
            walks: walks.len(),
            backed: Backed {
                without: lines.collect(),
                ..Backed::default()
            },
            ..Heights::from_draws(station_m, vec![draw; 10])
        }
    }

    #[test]
    fn a_fall_that_hangs_on_one_walk_cannot_be_told() {
        let bores = [Bore {
            to_m: 50.0,
            bore_m: 0.1,
        }];
        let climbs = |walks: &[(f64, &[f64])]| judge(&without(walks), &bores).climbs;
        let flat: &[f64] = &[0.0; 6];
        assert!(climbs(&[(0.0, flat), (0.0, flat)]).is_empty());
        // Without the second walk the line rises by a metre from 20 to 30 m, and from 40 m on by less than half a bore.
        let hump: &[f64] = &[0.0, 0.0, 0.0, 3.0, 0.0, 2.04];
        let seen = climbs(&[(0.0, flat), (0.0, hump)]);
        let [one] = seen.as_slice() else {
            panic!("{seen:?}")
        };
        assert_eq!((one.low_station_m, one.crest_station_m), (20.0, 30.0));
        assert_eq!(one.verdict, ClimbVerdict::CannotTell);
        assert!(one.hangs_on_one_walk && one.probability == 0.0);
        // A walk of a part of the line; of two that say so the higher is named.
        let (part, higher): (&[f64], &[f64]) = (&[0.0, 3.0, 0.0], &[0.0, 0.0, 0.0, 4.0, 0.0, 0.0]);
        let seen = climbs(&[(20.0, part), (0.0, higher)]);
        assert_eq!(seen.len(), 1);
        assert_eq!(
            (seen[0].low_station_m, seen[0].crest_station_m),
            (20.0, 30.0)
        );
        assert!(climbs(&[(30.0, &[0.0, 1.0, 0.0]), (0.0, flat)]).is_empty());
        // What was levelled hangs on no walk.
        let mut levelled = without(&[(0.0, flat), (0.0, hump)]);
        levelled.backed.reaches_m.push((15.0, 35.0));
        assert!(judge(&levelled, &bores).climbs.is_empty());
    }
}
