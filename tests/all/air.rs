//! Air: the start held against a different algorithm, and what must always hold.

#[path = "air/march.rs"]
mod march;
#[path = "air/of_line.rs"]
mod of_line;

use march::{Arm, Filled, fill};
use proptest::prelude::*;
use steadyfall::air::pipe_profile::PipeProfile;
use steadyfall::air::startup::Ends;
use steadyfall::air::startup::Outcome;
use steadyfall::numeric::Rng;

/// A random hump line: stations, heights, bores, and the index of each crest.
struct Humpy {
    station_m: Vec<f64>,
    height_m: Vec<f64>,
    bore_m: Vec<f64>,
    crests: Vec<usize>,
    lows: Vec<usize>,
}

impl Humpy {
    /// One to six climbs; every leg bent once; two bores.
    fn random(draws: &mut Rng, climbs: usize) -> Self {
        let (mut s, mut z) = (0.0, draws.between(30.0, 80.0));
        let mut line = Self {
            station_m: vec![s],
            height_m: vec![z],
            bore_m: Vec::new(),
            crests: Vec::new(),
            lows: Vec::new(),
        };
        let thin = draws.between(0.03, 0.08);
        let thick = draws.between(0.05, 0.12);
        for _ in 0..climbs {
            for way in [-1.0, 1.0] {
                let height = if way < 0.0 {
                    draws.between(4.0, 22.0)
                } else {
                    draws.between(1.0, 12.0)
                };
                let (first, mid) = (draws.between(0.2, 0.8), draws.between(0.2, 0.8));
                let length = draws.between(20.0, 90.0);
                for (ds, dz) in [
                    (length * mid, height * first),
                    (length * (1.0 - mid), height * (1.0 - first)),
                ] {
                    s += ds;
                    z += way * dz;
                    line.station_m.push(s);
                    line.height_m.push(z);
                    line.bore_m
                        .push(if draws.uniform() < 0.5 { thin } else { thick });
                }
                if way < 0.0 {
                    line.lows.push(line.station_m.len() - 1);
                } else {
                    line.crests.push(line.station_m.len() - 1);
                }
            }
        }
        line.bore_m.push(thin);
        line
    }

    fn course(&self) -> PipeProfile<'_> {
        PipeProfile {
            station_m: &self.station_m,
            height_m: &self.height_m,
            bore_m: &self.bore_m,
        }
    }

    fn start(&self, ends: Ends, vented: &[usize]) -> Outcome {
        let vents: Vec<f64> = vented
            .iter()
            .map(|&c| self.station_m[self.crests[c]])
            .collect();
        let course = self.course();
        course.start_primed(&course.humps(), ends, &vents, f64::NEG_INFINITY)
    }

    /// The arms of every low: down from the crest before it and up to the crest behind it, heights against volume from the low.
    fn arms(&self) -> Vec<(Arm, Arm)> {
        let arm = |indexes: Vec<usize>| {
            let (mut points, mut volume) = (vec![(0.0, self.height_m[indexes[0]])], 0.0);
            for pair in indexes.windows(2) {
                let bore = self.bore_m[pair[0].min(pair[1])];
                volume += std::f64::consts::FRAC_PI_4
                    * bore
                    * bore
                    * (self.station_m[pair[1]] - self.station_m[pair[0]]).abs();
                points.push((volume, self.height_m[pair[1]]));
            }
            Arm::new(points)
        };
        self.lows
            .iter()
            .enumerate()
            .map(|(j, &low)| {
                let from = if j == 0 { 0 } else { self.crests[j - 1] };
                (
                    arm((from..=low).rev().collect()),
                    arm((low..=self.crests[j]).collect()),
                )
            })
            .collect()
    }
}

#[test]
fn a_marched_fill_in_small_parcels_gives_every_verdict() {
    let mut draws = Rng::new(20_261);
    let (mut held, mut starts, mut near) = (0, 0, 0);
    for round in 0..1_300_usize {
        let line = Humpy::random(&mut draws, 1 + round % 6);
        // sea level, 3,000 m, and air so stiff that it hardly squeezes
        // (a long chain of columns on stiff air takes long to come to rest)
        let stiff = if line.crests.len() > 3 { 2e3 } else { 2e4 };
        let air_head_m = [10.33, 7.15, stiff][round / 6 % 3];
        let has_vents = draws.uniform() < 0.5;
        let vented: Vec<usize> = (0..line.crests.len() - 1)
            .filter(|_| has_vents && draws.uniform() < 0.4)
            .collect();
        let probe = line.start(
            Ends {
                level_m: line.height_m[0],
                air_head_m,
            },
            &vented,
        );
        // half of the rounds with the level near what is needed, where a verdict is hard
        let needs = probe.needs_squeezed_m;
        let level_m = if draws.uniform() < 0.5 {
            line.height_m[0]
        } else {
            line.height_m[0].max(needs + 4.0 * (draws.uniform() - 0.5))
        };
        let ends = Ends {
            level_m,
            air_head_m,
        };
        let outcome = line.start(ends, &vented);
        let margin = outcome.margin_squeezed_m(ends);
        // parcels are coarse for stiff air
        if margin.abs() < if air_head_m > 100.0 { 0.6 } else { 0.06 } {
            near += 1;
            continue;
        }
        let filled = fill(&line.arms(), ends, &vented);
        assert_eq!(
            filled == Filled::Runs,
            margin > 0.0,
            "round {round}: margin {margin}, {filled:?}, vents {vented:?}, {:?} {:?}",
            line.station_m,
            line.height_m
        );
        if air_head_m > 1_000.0 && vented.is_empty() {
            // without squeeze: the worst case, but for a few thousandths of it
            let worst = outcome.margin_worst_m(ends);
            if worst.abs() > if stiff > 1e4 { 0.5 } else { 6.0 } {
                assert_eq!(
                    filled == Filled::Runs,
                    worst > 0.0,
                    "round {round}, worst {worst}"
                );
            }
        }
        held += 1;
        starts += usize::from(margin > 0.0);
    }
    assert!(held >= 1_000, "{held} held, {near} too near");
    assert!(
        starts > 300 && held - starts > 300,
        "{starts} of {held} start"
    );
}

fn humpy() -> impl Strategy<Value = (u64, usize)> {
    (any::<u64>(), 1_usize..7)
}

proptest! {
    #[test]
    fn adding_a_vent_never_lowers_a_margin((seed, climbs) in humpy(), which in 0_usize..6, have in 0_u8..64) {
        let line = Humpy::random(&mut Rng::new(seed), climbs);
        let ends = Ends { level_m: line.height_m[0], air_head_m: 10.33 };
        let some: Vec<usize> = (0..climbs).filter(|i| have >> i & 1 == 1).collect();
        let more: Vec<usize> = some.iter().copied().chain([which % climbs]).collect();
        let (a, b) = (line.start(ends, &some), line.start(ends, &more));
        prop_assert!(b.margin_worst_m(ends) >= a.margin_worst_m(ends) - 1e-9);
        prop_assert!(b.margin_squeezed_m(ends) >= a.margin_squeezed_m(ends) - 1e-9);
    }

    #[test]
    fn a_vent_anywhere_never_lowers_a_margin((seed, climbs) in humpy(), at in 0.0_f64..1.0) {
        let line = Humpy::random(&mut Rng::new(seed), climbs);
        let ends = Ends { level_m: line.height_m[0], air_head_m: 10.33 };
        let course = line.course();
        let humps = course.humps();
        let vent = at * line.station_m.last().unwrap();
        let start = |vents: &[f64]| course.start_primed(&humps, ends, vents, f64::NEG_INFINITY);
        let (a, b) = (start(&[]), start(&[vent]));
        prop_assert!(b.margin_worst_m(ends) >= a.margin_worst_m(ends) - 1e-9);
        prop_assert!(b.margin_squeezed_m(ends) >= a.margin_squeezed_m(ends) - 1e-6);
        prop_assert!(b.margin_squeezed_m(ends) >= b.margin_worst_m(ends) - 1e-9);
    }

    #[test]
    fn squeezed_is_never_below_worst((seed, climbs) in humpy(), air_head_m in 6.0_f64..11.0) {
        let line = Humpy::random(&mut Rng::new(seed), climbs);
        let ends = Ends { level_m: line.height_m[0], air_head_m };
        let outcome = line.start(ends, &[]);
        prop_assert!(outcome.margin_squeezed_m(ends) >= outcome.margin_worst_m(ends) - 1e-9);
        for crest in &outcome.crests {
            prop_assert!(crest.squeezed_m <= crest.sealed_m + 1e-9);
            prop_assert!(crest.squeezed_m3 <= crest.sealed_m3 + 1e-12);
        }
    }

    #[test]
    fn shifting_all_heights_changes_nothing((seed, climbs) in humpy(), shift in -500.0_f64..2_000.0) {
        let line = Humpy::random(&mut Rng::new(seed), climbs);
        let mut moved = Humpy::random(&mut Rng::new(seed), climbs);
        moved.height_m.iter_mut().for_each(|z| *z += shift);
        let margin = |l: &Humpy| {
            let ends = Ends { level_m: l.height_m[0], air_head_m: 9.5 };
            let o = l.start(ends, &[]);
            (o.margin_worst_m(ends), o.margin_squeezed_m(ends))
        };
        let (a, b) = (margin(&line), margin(&moved));
        prop_assert!((a.0 - b.0).abs() < 1e-7 && (a.1 - b.1).abs() < 1e-6);
    }

    #[test]
    fn raising_the_level_raises_the_worst_margin_by_as_much((seed, climbs) in humpy(), more in 0.0_f64..20.0) {
        let line = Humpy::random(&mut Rng::new(seed), climbs);
        let at = |level_m| {
            let ends = Ends { level_m, air_head_m: 10.33 };
            line.start(ends, &[]).margin_worst_m(ends)
        };
        let z = line.height_m[0];
        prop_assert!((at(z + more) - at(z) - more).abs() < 1e-9);
    }

    #[test]
    fn stiffer_air_tends_to_the_worst_case((seed, climbs) in humpy()) {
        let line = Humpy::random(&mut Rng::new(seed), climbs);
        let ends = Ends { level_m: line.height_m[0], air_head_m: 1e8 };
        let outcome = line.start(ends, &[]);
        prop_assert!((outcome.margin_squeezed_m(ends) - outcome.margin_worst_m(ends)).abs() < 1e-3);
    }

    #[test]
    fn an_even_fall_has_no_pocket(length in 10.0_f64..2_000.0, fall in 0.1_f64..300.0, n in 2_usize..60) {
        let station_m: Vec<f64> = (0..n).map(|i| length * i as f64 / (n - 1) as f64).collect();
        let height_m: Vec<f64> = station_m.iter().map(|s| 500.0 - fall * s / length).collect();
        let bore_m = vec![0.05; n];
        let course = PipeProfile { station_m: &station_m, height_m: &height_m, bore_m: &bore_m };
        let ends = Ends { level_m: 500.0, air_head_m: 10.0 };
        let outcome = course.start_primed(&course.humps(), ends, &[], f64::NEG_INFINITY);
        prop_assert!(outcome.crests.is_empty());
        prop_assert!((outcome.margin_worst_m(ends) - fall).abs() < 1e-9);
    }
}

#[test]
fn only_what_is_in_doubt_is_named_for_levelling() {
    let study = &crate::drawing::sample("otter-gill").study;
    let climbs = &study.profile.climbs;
    let mut start = study.air.as_ref().unwrap().start.clone();
    assert_eq!(start.decided_by.len(), 2, "{:?}", start.decided_by);
    // both legs doubtful: both are named
    start.decided_by.iter_mut().for_each(|d| d.head_sd_m = 5.0);
    assert_eq!(start.to_level_m(climbs).len(), 2);
    // a leg known as well as a levelled one is named no more, however much it eats
    for known in 0..2 {
        let mut one = start.clone();
        one.decided_by[known].head_sd_m = 0.01;
        let doubtful = one.decided_by[1 - known];
        let named = one.to_level_m(climbs);
        assert_eq!(named.len(), 1, "{named:?}");
        assert!(named[0].0 <= doubtful.to_m && doubtful.from_m <= named[0].1);
    }
}
