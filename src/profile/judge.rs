use super::flat::flats;
use super::one_walk::one_walk_climbs;
use super::reach::{ClimbStretch, DrawClimb, stretches};
use super::trace::{ClimbShape, LineClimb, MeasuredLine, largest_rise, legs};
use super::{Bore, Climb, ClimbVerdict, Grade, Low, Profile};
use crate::heights::Heights;
use crate::numeric::math;
use crate::numeric::series;
use std::f64::consts::PI;

/// Stations of points that were levelled count to this, m.
const AT_M: f64 = 0.5;
/// Too unlikely to list: from several walks or a book, and from one walk.
const LISTED: (f64, f64) = (0.05, 0.03);

/// Judges heights with the bores of the pipe (in order from the intake; one is enough).
///
/// A climb is a stretch where, in a draw, the pipe rises by more than half a bore and then falls by as much or ends; its probability is the share of draws that climb there. Time grows with draws times stations.
/// Where the middle line without one of several walks climbs and no draw does, the fall hangs on that walk: it is listed as one that the survey cannot tell.
/// With no bore at all, or without draws, the mean line stands alone and a bore of 0 counts every rise.
pub fn judge(heights: &Heights, bores: &[Bore]) -> Profile {
    let bore_m: Vec<f64> = heights
        .station_m
        .iter()
        .map(|&s| bore_at(bores, s))
        .collect();
    let half_m: Vec<f64> = bore_m.iter().map(|b| 0.5 * b).collect();
    let area_m2: Vec<f64> = bore_m.iter().skip(1).map(|b| PI / 4.0 * b * b).collect();
    let alone = std::slice::from_ref(&heights.mean_m);
    let draws: &[Vec<f64>] = if heights.draws.is_empty() {
        alone
    } else {
        &heights.draws
    };
    let mut seen = Vec::new();
    let mut found = Vec::new();
    let mut anywhere = 0usize;
    for (draw, line) in draws.iter().enumerate() {
        legs(line, &half_m, &mut found);
        anywhere += usize::from(!found.is_empty());
        seen.extend(found.iter().map(|&leg| DrawClimb { draw, leg }));
    }
    let one_walk = heights.walks == 1;
    let listed_above = if one_walk { LISTED.1 } else { LISTED.0 };
    let segments = heights.station_m.len().saturating_sub(1);
    let view = View {
        heights,
        draws,
        bore_m: &bore_m,
        area_m2: &area_m2,
        sure: heights.sure(),
    };
    let mut listed = stretches(&seen, segments, draws.len());
    listed.retain(|stretch| stretch.draws as f64 / draws.len() as f64 > listed_above);
    let alone = one_walk_climbs(heights, &half_m, &area_m2, &listed);
    let (mut climbs, lows): (Vec<Climb>, Vec<Low>) =
        listed.iter().map(|stretch| view.climb(stretch)).unzip();
    climbs.extend(alone.iter().map(|(leg, shape)| view.hanging(leg, shape)));
    climbs.sort_by(|a, b| a.low_station_m.total_cmp(&b.low_station_m));
    let narrowest = bore_m.iter().copied().fold(f64::INFINITY, f64::min);
    let narrowest = if narrowest.is_finite() {
        narrowest
    } else {
        0.0
    };
    Profile {
        flats: flats(heights, draws, &climbs),
        climbs,
        lows,
        grades: grades(heights, draws),
        climb_probability: anywhere as f64 / draws.len() as f64,
        climb_threshold_m: 0.5 * narrowest,
        seal_threshold_m: narrowest,
        listed_above,
    }
}

fn bore_at(bores: &[Bore], station_m: f64) -> f64 {
    bores
        .iter()
        .find(|b| station_m <= b.to_m)
        .or(bores.last())
        .map_or(0.0, |b| b.bore_m)
}

struct View<'a> {
    heights: &'a Heights,
    draws: &'a [Vec<f64>],
    bore_m: &'a [f64],
    area_m2: &'a [f64],
    sure: f64,
}

impl View<'_> {
    fn station(&self, i: usize) -> f64 {
        series::at(&self.heights.station_m, i)
    }

    /// Whether a climb rests on more than one walk alone: the middle of its lows and of its crests tells where it is.
    fn backed(&self, lows: &[f64], crests: &[f64]) -> bool {
        let (low, crest) = (at_share(lows, 0.5), at_share(crests, 0.5));
        self.heights.backed_between(low + AT_M, crest - AT_M)
    }

    /// Whether the place that is named climbs, and not only some place in the reach: the middle of the lows to that of the crests, in as many draws.
    /// Asked where nothing but several walks with a receiver speaks: there the stated doubt of a rise is known to be too small (docs/calibration.md).
    fn rises_from_low_to_crest(&self, lows: &[f64], crests: &[f64]) -> bool {
        let (low_m, crest_m) = (at_share(lows, 0.5) + AT_M, at_share(crests, 0.5) - AT_M);
        if self.heights.walks < 2 || self.heights.backed.held(low_m, crest_m) {
            return true;
        }
        let index = |s: f64| self.heights.station_m.partition_point(|&x| x < s);
        let (low, crest) = (index(at_share(lows, 0.5)), index(at_share(crests, 0.5)));
        let half_bore_m = 0.5 * series::at(self.bore_m, crest);
        let rises =
            |line: &&Vec<f64>| series::at(line, crest) - series::at(line, low) > half_bore_m;
        let rising = self.draws.iter().filter(rises).count();
        rising as f64 >= self.sure * self.draws.len() as f64
    }

    /// One listed reach, from the climbs seen in it (at most one a draw counts: the highest).
    fn climb(&self, stretch: &ClimbStretch) -> (Climb, Low) {
        let total = self.draws.len() as f64;
        let mut rises = Vec::with_capacity(self.draws.len());
        let (mut lows, mut crests, mut ends) = (Vec::new(), Vec::new(), Vec::new());
        let (mut pocket, mut seals, mut rise_seen) = (0.0, 0usize, 0.0);
        let mut seen = stretch.seen.iter().peekable();
        for (draw, line) in self.draws.iter().enumerate() {
            let measured = MeasuredLine {
                station_m: &self.heights.station_m,
                height_m: line,
                area_m2: self.area_m2,
            };
            let mut best = None;
            while let Some(s) = seen.next_if(|s| s.draw == draw) {
                let shape = measured.shape(&s.leg);
                if best.is_none_or(|(_, b): (_, super::trace::ClimbShape)| shape.rise_m > b.rise_m)
                {
                    best = Some((s.leg, shape));
                }
            }
            if let Some((leg, shape)) = best {
                lows.push(self.station(leg.low));
                crests.push(self.station(leg.crest));
                ends.push(shape.end_m);
                pocket += shape.pocket_m3;
                rise_seen += shape.rise_m;
                let bore = series::at(self.bore_m, leg.crest);
                seals += usize::from(shape.rise_m > bore);
                rises.push(shape.rise_m);
            } else {
                let window = line.get(stretch.from..=stretch.to).unwrap_or(&[]);
                rises.push(largest_rise(window));
            }
        }
        for list in [&mut lows, &mut crests, &mut ends] {
            list.sort_by(f64::total_cmp);
        }
        let n = lows.len().max(1) as f64;
        let (rise_m, rise_sd_m) = mean_and_sd(&rises);
        let probability = stretch.draws as f64 / total;
        let sure = probability >= self.sure && self.rises_from_low_to_crest(&lows, &crests);
        let backed = self.backed(&lows, &crests);
        let low_station_m = at_share(&lows, 0.5);
        let climb = Climb {
            low_station_m,
            crest_station_m: at_share(&crests, 0.5),
            end_station_m: at_share(&ends, 0.5),
            crest_from_m: at_share(&crests, 0.05),
            crest_to_m: at_share(&crests, 0.95),
            reach_from_m: self.station(stretch.from),
            reach_to_m: self.station(stretch.to),
            rise_m,
            rise_sd_m,
            probability,
            seal_probability: seals as f64 / total,
            verdict: if sure && backed {
                ClimbVerdict::Climbs
            } else {
                ClimbVerdict::CannotTell
            },
            hangs_on_one_walk: sure && !backed && self.heights.walks > 1,
            pocket_m3: pocket / n,
        };
        let low = Low {
            station_m: low_station_m,
            elevation_m: self.heights.at(low_station_m),
            rise_after_m: rise_seen / n,
            probability,
        };
        (climb, low)
    }

    /// A reach where the fall hangs on one walk: where, by the line without it; how likely, by the draws.
    fn hanging(&self, leg: &LineClimb, shape: &ClimbShape) -> Climb {
        let window = |line: &'_ [f64]| largest_rise(line.get(leg.low..=leg.crest).unwrap_or(&[]));
        let rises: Vec<f64> = self.draws.iter().map(|line| window(line)).collect();
        let (rise_m, rise_sd_m) = mean_and_sd(&rises);
        let bore_m = series::at(self.bore_m, leg.crest);
        let share = |more_m: f64| {
            let more = rises.iter().filter(|&&rise| rise > more_m).count();
            more as f64 / rises.len() as f64
        };
        let (low_m, crest_m) = (self.station(leg.low), self.station(leg.crest));
        Climb {
            low_station_m: low_m,
            crest_station_m: crest_m,
            end_station_m: shape.end_m,
            crest_from_m: crest_m,
            crest_to_m: crest_m,
            reach_from_m: low_m,
            reach_to_m: crest_m,
            rise_m,
            rise_sd_m,
            probability: share(0.5 * bore_m),
            seal_probability: share(bore_m),
            verdict: ClimbVerdict::CannotTell,
            hangs_on_one_walk: true,
            pocket_m3: shape.pocket_m3,
        }
    }
}

fn mean_and_sd(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let squares = values.iter().map(|v| math::powi(v - mean, 2));
    (mean, (squares.sum::<f64>() / n).sqrt())
}

/// The value below which a share of a sorted list lies.
fn at_share(sorted: &[f64], share: f64) -> f64 {
    let at = (share * sorted.len().saturating_sub(1) as f64).round() as usize;
    series::at(sorted, at)
}

/// Fall and its doubt between neighbouring stations.
fn grades(heights: &Heights, draws: &[Vec<f64>]) -> Vec<Grade> {
    let mut spread = vec![0.0f64; heights.station_m.len().saturating_sub(1)];
    for line in draws {
        let steps = line.windows(2).zip(heights.mean_m.windows(2));
        for (sum, pair) in spread.iter_mut().zip(steps) {
            if let ([a, b], [ma, mb]) = pair {
                *sum += math::powi(a - b - ma + mb, 2);
            }
        }
    }
    heights
        .station_m
        .windows(2)
        .zip(heights.mean_m.windows(2))
        .zip(&spread)
        .filter_map(|((s, z), sum)| match (s, z) {
            (&[from, to], &[a, b]) if to > from => Some(Grade {
                from_station_m: from,
                to_station_m: to,
                fall: (a - b) / (to - from),
                fall_sd: (sum / draws.len() as f64).sqrt() / (to - from),
            }),
            _ => None,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn book(points: &[(f64, f64)]) -> Heights {
        Heights {
            station_m: points.iter().map(|p| p.0).collect(),
            mean_m: points.iter().map(|p| p.1).collect(),
            sd_m: vec![0.0; points.len()],
            ..Heights::default()
        }
    }

    fn bore(bore_m: f64) -> Vec<Bore> {
        vec![Bore { to_m: 0.0, bore_m }]
    }

    #[test]
    fn a_surveyed_line_gives_its_own_points() {
        let heights = book(&[
            (0.0, 120.0),
            (100.0, 90.0),
            (150.0, 100.0),
            (220.0, 92.0),
            (300.0, 97.0),
            (380.0, 85.0),
        ]);
        let profile = judge(&heights, &bore(0.05));
        let got: Vec<_> = profile
            .climbs
            .iter()
            .map(|c| {
                (
                    c.low_station_m,
                    c.crest_station_m,
                    c.end_station_m,
                    c.rise_m,
                )
            })
            .collect();
        assert_eq!(got[0], (100.0, 150.0, 220.0, 10.0));
        assert_eq!((got[1].0, got[1].1, got[1].3), (220.0, 300.0, 5.0));
        assert!((got[1].2 - (300.0 + 80.0 * 5.0 / 12.0)).abs() < 1e-9);
        assert!(
            profile
                .climbs
                .iter()
                .all(|c| c.verdict == ClimbVerdict::Climbs
                    && c.probability == 1.0
                    && c.seal_probability == 1.0
                    && c.rise_sd_m == 0.0)
        );
        // Above 92 m: 40 m of the first climb and 70 m down to the next low.
        let area = PI / 4.0 * 0.05 * 0.05;
        assert!((profile.climbs[0].pocket_m3 - area * 110.0).abs() < 1e-9);
        assert_eq!(profile.climb_probability, 1.0);
        assert!((profile.grades[0].fall - 0.3).abs() < 1e-12);
    }

    #[test]
    fn two_thresholds() {
        // A rise of 0.07 m: more than half of a bore of 0.1 m, less than the whole.
        let heights = book(&[(0.0, 10.0), (50.0, 5.0), (60.0, 5.07), (90.0, 1.0)]);
        let profile = judge(&heights, &bore(0.1));
        assert_eq!(profile.climbs.len(), 1);
        assert_eq!(profile.climbs[0].seal_probability, 0.0);
        assert!(judge(&heights, &bore(0.2)).climbs.is_empty());
        // The wider pipe begins above: no climb there.
        let wider = [
            Bore {
                to_m: 20.0,
                bore_m: 0.1,
            },
            Bore {
                to_m: 90.0,
                bore_m: 0.2,
            },
        ];
        assert!(judge(&heights, &wider).climbs.is_empty());
    }

    #[test]
    fn a_level_bench_is_flat() {
        let heights = book(&[(0.0, 10.0), (50.0, 5.0), (90.0, 4.95), (140.0, 1.0)]);
        let profile = judge(&heights, &bore(0.05));
        assert!(profile.climbs.is_empty());
        assert_eq!(profile.flats.len(), 1);
        let flat = profile.flats[0];
        assert_eq!((flat.from_station_m, flat.to_station_m), (50.0, 90.0));
        assert!(judge(&Heights::default(), &[]).climbs.is_empty());
    }

    proptest! {
        #[test]
        fn a_falling_line_has_no_climb_and_turning_it_over_has(falls in prop::collection::vec(0.0..3.0f64, 2..40)) {
            let mut z = 50.0;
            let mut points = vec![(0.0, z)];
            for (i, f) in falls.iter().enumerate() {
                z -= f;
                points.push((10.0 * (i + 1) as f64, z));
            }
            let profile = judge(&book(&points), &bore(0.04));
            prop_assert!(profile.climbs.is_empty() && profile.climb_probability == 0.0);
            for p in &mut points {
                p.1 = -p.1;
            }
            let total: f64 = falls.iter().sum();
            prop_assert_eq!(judge(&book(&points), &bore(0.04)).climbs.len(), usize::from(total > 0.02));
        }
    }
}
