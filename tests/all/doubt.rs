//! How well the survey knows how sure it is: invented walks with known truth, also of kinds that the model does not know.
//!
//! `cargo test --release --test all doubt` runs a tenth; STEADYFALL_CALIBRATE=full runs all of it and writes docs/calibration.md.

mod bars;
mod calibrate;
pub(crate) use calibrate::tenths;
mod kinds;
pub mod page;
mod road;
mod tally;

use crate::invented::{Setting, Walk};
use steadyfall::heights::{HeightsOptions, walked};
use steadyfall::profile::{Bore, ClimbVerdict, judge};

/// A levelled line with points good to 5 mm: every climb of 0.1 m is found, and no fall is called a climb.
#[test]
fn a_level_book_finds_every_climb_of_a_decimetre() {
    use steadyfall::heights::{BookNode, booked};
    use steadyfall::numeric::Rng;
    let mut draws = Rng::new(77);
    for seed in 0..40 {
        let mut z = 200.0;
        let mut points = Vec::new();
        let mut climbs = Vec::new();
        for i in 0..60 {
            points.push(z);
            if i > 0 && i < 58 && draws.uniform() < 0.1 {
                climbs.push(10.0 * f64::from(i));
                z += 0.1;
            } else {
                z -= draws.between(0.12, 2.0);
            }
        }
        let book: Vec<BookNode> = points
            .iter()
            .enumerate()
            .map(|(i, h)| BookNode {
                station_m: 10.0 * i as f64,
                height_m: h + 0.005 * draws.normal(),
                sd_m: 0.005,
            })
            .collect();
        let heights = booked(&book, &[], 400, seed);
        let bore_m = 0.08;
        let profile = judge(
            &heights,
            &[Bore {
                to_m: 600.0,
                bore_m,
            }],
        );
        for at in &climbs {
            assert!(
                profile
                    .climbs
                    .iter()
                    .any(|c| c.verdict == ClimbVerdict::Climbs
                        && c.low_station_m <= *at
                        && c.crest_station_m > *at),
                "climb at {at} of line {seed}"
            );
        }
        for c in &profile.climbs {
            assert!(
                climbs
                    .iter()
                    .any(|at| c.low_station_m <= *at && c.crest_station_m > *at)
            );
        }
    }
}

/// Two starts of the seed and mirrored input give the same verdicts on a hump that two walks settle.
#[test]
fn the_same_seed_gives_the_same_draws() {
    let walk = Walk::new(
        &Setting {
            length_m: 200.0,
            drop_m: 30.0,
            passes: 2,
            ..Setting::default()
        },
        3,
    );
    let stations: Vec<f64> = (0..=50).map(|i| 4.0 * f64::from(i)).collect();
    let options = HeightsOptions {
        draws: Some(60),
        ..HeightsOptions::default()
    };
    let mut blocks = walk.blocks();
    let one = walked(&blocks, &[], &[], &stations, &options);
    let two = walked(&blocks, &[], &[], &stations, &options);
    assert_eq!(one, two);
    // The order of the blocks says nothing.
    blocks.reverse();
    let turned = walked(&blocks, &[], &[], &stations, &options);
    assert_eq!(one.heights.mean_m, turned.heights.mean_m);
    assert_eq!(one.heights.walks, 2);
}

/// A levelled reach inside a walk: its points hold against each other, its own datum is taken up, and a climb of a decimetre in it is found.
#[test]
fn a_levelled_reach_settles_what_the_walk_cannot_tell() {
    use steadyfall::heights::{Levelled, Tie};
    let setting = Setting {
        length_m: 300.0,
        drop_m: 36.0,
        rises_m: vec![0.0],
        ..Setting::default()
    };
    let walk = Walk::new(&setting, 21);
    let stations: Vec<f64> = (0..=150).map(|i| 2.0 * f64::from(i)).collect();
    let options = HeightsOptions {
        draws: Some(400),
        ..HeightsOptions::default()
    };
    let bores = [Bore {
        to_m: 300.0,
        bore_m: 0.08,
    }];
    // Levelled from 100 to 150 m every 5 m with a datum of its own, and a rise of 0.1 m between 120 and 125 m.
    let height = |s: f64| 500.0 - 0.1 * (s - 100.0) + if s > 122.0 { 0.6 } else { 0.0 };
    let points: Vec<Tie> = (0..=10)
        .map(|i| 100.0 + 5.0 * f64::from(i))
        .map(|s| Tie {
            station_m: s,
            height_m: height(s),
            sd_m: 0.003,
        })
        .collect();
    let reach = Levelled {
        points: points.clone(),
        datum_sd_m: 200.0,
    };
    let out = walked(&walk.blocks(), &[], &[reach], &stations, &options);
    let h = &out.heights;
    for line in &h.draws {
        let at = |s: f64| line[(s / 2.0) as usize];
        assert!((at(120.0) - at(100.0) - (height(120.0) - height(100.0))).abs() < 0.03);
    }
    let profile = judge(h, &bores);
    assert!(
        profile
            .climbs
            .iter()
            .any(|c| c.verdict == ClimbVerdict::Climbs
                && (110.0..=122.0).contains(&c.low_station_m)
                && (124.0..=130.0).contains(&c.crest_station_m)
                && c.rise_m > 0.08),
        "{:?}",
        profile.climbs
    );
    // The walk still sets the height of it all.
    assert!((h.at(100.0) - walk.truth.at(100.0)).abs() < 30.0);
}

/// Ties at both ends hold the drop; far more walks than can be followed, readings that are no numbers and a lone reading are all taken in.
#[test]
fn ties_hold_and_nothing_breaks_it() {
    use steadyfall::heights::{ReadingBlock, Tie};
    let setting = Setting {
        length_m: 200.0,
        drop_m: 30.0,
        passes: 12,
        ..Setting::default()
    };
    let walk = Walk::new(&setting, 4);
    let stations: Vec<f64> = (0..=100).map(|i| 2.0 * f64::from(i)).collect();
    let options = HeightsOptions {
        draws: Some(40),
        ..HeightsOptions::default()
    };
    let tie = |s: f64| Tie {
        station_m: s,
        height_m: walk.truth.at(s),
        sd_m: 0.01,
    };
    let mut blocks = walk.blocks();
    blocks.push(ReadingBlock {
        height_m: f64::NAN,
        count: 1.0,
        ..ReadingBlock::default()
    });
    let out = walked(&blocks, &[tie(0.0), tie(200.0)], &[], &stations, &options);
    // 0.014 m, seen by some forty draws in mirrored pairs: to a sixth.
    assert!(out.heights.drop_sd_m < 0.025);
    assert!((out.heights.at(200.0) - walk.truth.at(200.0)).abs() < 0.03);
    assert_eq!(out.heights.walks, 8);
    assert_eq!(
        out.remarks.len(),
        2 + usize::from(out.remarks.iter().any(|r| r.contains("next to")))
    );
    for (blocks, stations) in [
        (vec![], stations.clone()),
        (vec![blocks[0]], stations.clone()),
        (blocks.clone(), vec![]),
        (blocks.clone(), vec![5.0]),
    ] {
        let out = walked(&blocks, &[], &[], &stations, &options);
        assert!(out.heights.mean_m.iter().all(|z| z.is_finite()));
    }
}

mod any {
    use proptest::prelude::*;
    use steadyfall::heights::{HeightsOptions, Levelled, ReadingBlock, Tie, walked};
    use steadyfall::profile::{Bore, judge};

    fn number() -> impl Strategy<Value = f64> {
        prop_oneof![
            8 => -400.0..400.0f64,
            1 => Just(0.0),
            1 => prop_oneof![Just(f64::NAN), Just(f64::INFINITY), Just(-1e9), Just(1e300)],
        ]
    }

    fn block() -> impl Strategy<Value = ReadingBlock> {
        (
            0..4usize,
            prop::option::of(number()),
            number(),
            number(),
            number(),
        )
            .prop_map(|(pass, clock_s, station_m, height_m, count)| ReadingBlock {
                pass,
                clock_s,
                station_m,
                height_m,
                count,
                rounded_sd_m: count,
                dilution: Some(height_m),
            })
    }

    fn tie() -> impl Strategy<Value = Tie> {
        (number(), number(), number()).prop_map(|(station_m, height_m, sd_m)| Tie {
            station_m,
            height_m,
            sd_m,
        })
    }

    /// Found by chance: readings hundreds of metres apart against a height known to a tenth of a millimetre round an unknown's information away.
    #[test]
    fn what_contradicts_itself_gives_numbers_too() {
        let block = |pass, station_m, height_m, count| ReadingBlock {
            pass,
            clock_s: None,
            station_m,
            height_m,
            count,
            rounded_sd_m: 0.0,
            dilution: Some(height_m),
        };
        let blocks = [
            block(1, -34.75247367908588, 197.4022598410002, 281.4423717377761),
            block(2, 106.57124934676699, 30.747926914525724, 0.0),
            block(1, 32.56972584103294, -206.836956206418, 168.2598671638218),
        ];
        let ties = [Tie {
            station_m: 190.43592181356055,
            height_m: -10.491193495753132,
            sd_m: 0.0,
        }];
        let stations: Vec<f64> = (0..30).map(|i| 5.0 * f64::from(i)).collect();
        for terrain_model in [true, false] {
            let options = HeightsOptions {
                draws: Some(40),
                terrain_model,
                ..HeightsOptions::default()
            };
            let out = walked(&blocks, &ties, &[], &stations, &options).heights;
            assert!(out.mean_m.iter().chain(&out.sd_m).all(|v| v.is_finite()));
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]
        /// Whatever stands in the file, there is no panic and every figure is a number.
        #[test]
        fn readings_give_numbers(
            blocks in prop::collection::vec(block(), 0..30),
            ties in prop::collection::vec(tie(), 0..3),
            points in prop::collection::vec(tie(), 0..4),
            terrain_model in any::<bool>(),
        ) {
            let stations: Vec<f64> = (0..30).map(|i| 5.0 * f64::from(i)).collect();
            let options = HeightsOptions { draws: Some(40), terrain_model, ..HeightsOptions::default() };
            let levelled = [Levelled { points, datum_sd_m: 5.0 }];
            let out = walked(&blocks, &ties, &levelled, &stations, &options).heights;
            prop_assert!(out.mean_m.iter().chain(&out.sd_m).all(|v| v.is_finite()));
            let profile = judge(&out, &[Bore { to_m: 200.0, bore_m: 0.1 }]);
            prop_assert!((0.0..=1.0).contains(&profile.climb_probability));
        }
    }
}
