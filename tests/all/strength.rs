//! Strength on whole lines: what must always hold, and lines small enough to work out by hand.

use proptest::prelude::*;
use steadyfall::line::{Laid, Line, Reach};
use steadyfall::pipe::{self, Bed, Joint, Often, RunState, Traffic};
use steadyfall::strength::{self, Load, LoadKind, NoZones, STATIC_MARGIN, Weakest, Which};

/// A straight fall of 100 m in 1,000 m, a station every 10 m.
fn fall(words: &str) -> Line {
    let points: Vec<(f64, f64)> = (0..=100)
        .map(|i| (10.0 * f64::from(i), 100.0 - f64::from(i)))
        .collect();
    Line::plain(&points, &pipe::find(words).unwrap())
}

/// A state of a kind, called so.
fn state(name: &str, kind: LoadKind) -> Which {
    let movement = |often| Which::Movement {
        run: 0,
        often,
        name: name.to_owned(),
    };
    match kind {
        LoadKind::Standing => Which::Standing,
        LoadKind::Running => Which::Running(RunState::Case(name.to_owned())),
        LoadKind::Filling => Which::Filling,
        LoadKind::Test => Which::Test,
        LoadKind::SurgeRoutine => movement(Often::Routine),
        LoadKind::SurgeRare => movement(Often::Rare),
        LoadKind::Drained => Which::Drained,
    }
}

fn flat_load(line: &Line, name: &str, kind: LoadKind, pa: f64) -> Load {
    Load::steady(
        state(name, kind),
        vec![pa; line.geometry.heights.station_m.len()],
    )
}

#[test]
fn a_hundred_metres_in_pn_10_by_hand() {
    let line = fall("PE100 SDR 17 110");
    let strength = strength::judge(&line, &[]);
    let reach = &strength.reaches[0];
    // 999.70 kg/m3 at 10 C and standard gravity: 9.804 kPa a metre.
    assert!(
        (reach.static_pa - 980_370.0).abs() < 60.0,
        "{}",
        reach.static_pa
    );
    assert!((reach.use_high.unwrap() - 0.98037).abs() < 1e-4);
    assert_eq!(reach.governing.as_ref().unwrap().weakest, Weakest::Pipe);
    assert_eq!(reach.governing.as_ref().unwrap().station_m, 1000.0);
    // With 1.25 on the standing pressure PN 12.5 falls short of 12.255 bar by nothing: it is 12.5.
    assert_eq!(reach.lightest.as_ref().unwrap().series, "SDR 13.6");
}

#[test]
fn the_doubt_of_the_head_is_judged_and_not_the_mean() {
    let mut line = fall("PE100 SDR 17 110");
    line.geometry.heights.drop_sd_m = 3.0;
    let top = line.geometry.heights.mean_m.clone();
    line.geometry.heights.draws = [-3.0, 3.0]
        .iter()
        .map(|shift| {
            top.iter()
                .zip(&line.geometry.heights.station_m)
                .map(|(z, s)| z + shift / 2f64.sqrt() * s / 1000.0)
                .collect()
        })
        .collect();
    let strength = strength::judge(&line, &[]);
    let reach = &strength.reaches[0];
    assert!(reach.use_mean.unwrap() < 1.0 && reach.use_high.unwrap() > 1.0);
    assert!((reach.static_high_pa - reach.static_pa - 6.0 * 9803.7).abs() < 10.0);
    assert!(
        (strength.use_high[0].unwrap()).abs() < 1e-9,
        "no doubt at the mouth, where the water level is tied"
    );
}

#[test]
fn each_standard_has_its_own_allowance_and_the_user_s_is_echoed() {
    for (words, rare) in [
        ("PE4710 DR 17 4 in", 2.0),
        ("PE100 SDR 17 110", 1.0),
        ("PVC SDR 21 4 in", 1.0),
    ] {
        let line = fall(words);
        let surge = flat_load(&line, "jet blocked", LoadKind::SurgeRare, 30e5);
        let reach = &strength::judge(&line, &[surge]).reaches[0];
        assert_eq!(
            reach.governing.as_ref().unwrap().surge_allowance,
            rare,
            "{words}"
        );
    }
    let mut line = fall("PE100 SDR 17 110");
    line.reaches[0].surge_allowance = Some(1.5);
    let surge = flat_load(&line, "jet blocked", LoadKind::SurgeRare, 30e5);
    let reach = &strength::judge(&line, &[surge]).reaches[0];
    assert_eq!(reach.governing.as_ref().unwrap().surge_allowance, 1.5);
    assert!((reach.use_high.unwrap() - 2.0).abs() < 1e-9);
}

#[test]
fn a_surge_does_not_hide_what_stands() {
    let mut line = fall("PE4710 DR 26 4 in");
    line.geometry.heights.draws.clear();
    let surge = flat_load(&line, "jet blocked", LoadKind::SurgeRare, 60e5);
    let reach = &strength::judge(&line, &[surge]).reaches[0];
    let (worst, lasting) = (
        reach.governing.as_ref().unwrap(),
        reach.lasting.as_ref().unwrap(),
    );
    assert!(worst.cause.kind().is_surge() && lasting.cause.kind() == LoadKind::Standing);
    assert!(lasting.use_high() > 1.0 && lasting.use_high() < worst.use_high());
}

#[test]
fn the_weakest_of_pipe_joint_and_fitting_governs() {
    let mut line = fall("PE100 SDR 11 63");
    line.reaches[0].joint = Joint::Barbed;
    let reach = &strength::judge(&line, &[]).reaches[0];
    assert_eq!(
        reach.governing.as_ref().unwrap().weakest,
        Weakest::Joint(Joint::Barbed)
    );
    assert!(reach.use_high.unwrap() > 1.0 && reach.from_memory);
    let mut threaded = fall("ASTM D1785 PVC schedule 40 4 in");
    threaded.reaches[0].joint = Joint::Thread;
    let reach = &strength::judge(&threaded, &[]).reaches[0];
    assert!(reach.forbidden_joint.is_some() && reach.use_high.unwrap().is_finite());
    line.reaches[0].joint = Joint::RepairCoupling;
    assert!(
        strength::judge(&line, &[]).reaches[0]
            .forbidden_joint
            .is_some()
    );
}

#[test]
fn a_stopped_black_pipe_in_the_sun_is_weaker_and_a_buried_one_is_not() {
    let mut line = fall("PE100 SDR 11 110");
    line.environment.situation.hottest_air_c = 24.0;
    let cool = strength::judge(&line, &[]).reaches[0].use_high.unwrap();
    line.environment.situation.sun = true;
    let hot = strength::judge(&line, &[]);
    let governing = hot.reaches[0].governing.as_ref().unwrap();
    assert!(governing.cause.in_sun && governing.wall_c == 54.0);
    assert!(hot.reaches[0].use_high.unwrap() > 1.5 * cool);
    line.environment.laid = vec![Laid {
        from_m: 0.0,
        to_m: 1000.0,
        bed: Bed::Buried,
        cover_m: Some(0.6),
        height_m: None,
        traffic: Traffic::None,
        trench: steadyfall::pipe::Trench::default(),
    }];
    assert!((strength::judge(&line, &[]).reaches[0].use_high.unwrap() - cool).abs() < 1e-12);
    line.environment.laid.clear();
    line.environment.situation.hottest_air_c = 35.0;
    let beyond = strength::judge(&line, &[]);
    assert!(
        beyond.reaches[0].too_warm.is_some(),
        "65 C is past the tables: it is said, not guessed"
    );
    assert_eq!(beyond.zones, Err(NoZones::TooWarm));
}

#[test]
fn drain_pipe_is_not_judged_but_refused() {
    let strength = strength::judge(&fall("4 in SDR 35"), &[]);
    assert!(strength.reaches[0].refused.is_some() && strength.reaches[0].use_high.is_none());
    assert_eq!(strength.zones, Err(NoZones::NotInCatalogue));
}

#[test]
fn suction_is_held_against_that_station_s_own_lowest_pressure() {
    let mut line = fall("PE100 SDR 26 110");
    let mut dip = flat_load(&line, "opening", LoadKind::SurgeRoutine, 0.0);
    dip.least_pa[50] = -40e3;
    let strength = strength::judge(&line, &[dip.clone()]);
    let (station, cause) = strength.reaches[0].outside.clone().unwrap();
    assert_eq!(
        (station, cause.which.to_string().as_str()),
        (500.0, "opening")
    );
    assert!(strength.suction.is_empty(), "fused joints suck in nothing");
    let sealed = strength::judge(
        &line,
        &[flat_load(&line, "drained", LoadKind::Drained, -100e3)],
    );
    assert!(sealed.reaches[0].outside_use > 1.0 && !sealed.needs_air.is_empty());
    line.reaches[0].joint = Joint::Ring;
    let strength = strength::judge(&line, &[dip]);
    assert_eq!(strength.suction.len(), 1);
    assert_eq!(strength.suction[0].station_m, 500.0);
    assert!((strength.suction[0].limit_pa + 3.0 * 9803.7).abs() < 10.0);
}

/// The line with its heights in doubt: equally likely lines whose fall from the mouth differs by so much at the end, one standard deviation.
fn in_doubt(mut line: Line, sd_m: f64) -> Line {
    let mean = line.geometry.heights.mean_m.clone();
    let length = line.geometry.length_m();
    line.geometry.heights.drop_sd_m = sd_m;
    line.geometry.heights.draws = [-1.0, 1.0]
        .iter()
        .map(|sign| {
            let shift = sign * sd_m / 2f64.sqrt();
            mean.iter()
                .zip(&line.geometry.heights.station_m)
                .map(|(z, s)| z + shift * s / length)
                .collect()
        })
        .collect();
    line
}

#[test]
fn suction_is_judged_two_standard_deviations_down_and_the_mean_beside_it() {
    // 4 m of sd at the end are 2 m half-way: 39.2 kPa at two of them
    let mut line = in_doubt(fall("PE100 SDR 26 110"), 4.0);
    let mut dip = flat_load(&line, "opening", LoadKind::SurgeRoutine, 20e3);
    dip.least_pa[50] = -60e3;
    let strength = strength::judge(&line, &[dip.clone()]);
    let reach = &strength.reaches[0];
    let low = reach.outside_low.as_ref().unwrap();
    assert_eq!(
        (low.station_m, low.cause.which.to_string().as_str()),
        (500.0, "opening")
    );
    assert!((low.pull_pa - 60e3 - 4.0 * 9803.7).abs() < 10.0);
    assert!((low.share / low.share_mean - low.pull_pa / 60e3).abs() < 1e-9);
    assert!((low.share_mean - reach.outside_use).abs() < 1e-12);
    // no pull is more than a whole vacuum, whatever the doubt
    dip.least_pa[50] = -99e3;
    let whole = strength::judge(&line, &[dip.clone()]).reaches[0]
        .outside_low
        .clone()
        .unwrap();
    assert!(whole.pull_pa < 101_325.0);
    // a leg that hangs is as sure as its own height: the survey's doubt of the head is not in it
    let hangs = Load {
        least_sd_m: vec![0.1; dip.least_pa.len()],
        ..dip.clone()
    };
    let mut hangs_at_60 = hangs;
    hangs_at_60.least_pa[50] = -60e3;
    let sure = strength::judge(&line, &[hangs_at_60]);
    let sure = sure.reaches[0].outside_low.as_ref().unwrap();
    assert!((sure.pull_pa - 60e3 - 0.2 * 9803.7).abs() < 10.0);
    // ring joints are trusted to 29.4 kPa: 20 kPa is within, and beyond at two standard deviations
    line.reaches[0].joint = Joint::Ring;
    dip.least_pa[50] = -20e3;
    let may = strength::judge(&line, &[dip.clone()]);
    let may = may.suction.iter().find(|j| j.station_m == 500.0).unwrap();
    assert!(!may.settled && (may.least_pa + 20e3).abs() < 1e-6);
    assert!((may.least_low_pa + 20e3 + 4.0 * 9803.7).abs() < 10.0);
    // 40 kPa is beyond by the mean: told as certain, the doubtful fringe beside it not told again
    dip.least_pa[49] = -20e3;
    dip.least_pa[50] = -40e3;
    let does = strength::judge(&line, &[dip]);
    let near: Vec<_> = does
        .suction
        .iter()
        .filter(|j| j.from_m <= 500.0 && j.to_m >= 490.0)
        .collect();
    assert_eq!(near.len(), 1);
    assert!(near[0].settled && near[0].from_m == 500.0);
}

#[test]
fn no_lightest_class_where_the_drop_is_in_doubt() {
    let mut line = fall("PE100 SDR 11 110");
    line.geometry.heights.drop_sd_m = 6.0;
    assert!(matches!(
        strength::judge(&line, &[]).zones,
        Err(NoZones::DropInDoubt { .. })
    ));
    assert!(strength::judge(&line, &[]).reaches[0].lightest.is_err());
}

#[test]
fn traffic_is_judged_by_name_or_refused_with_the_reason() {
    let mut line = fall("PE100 SDR 11 110");
    line.environment.laid = vec![Laid {
        from_m: 100.0,
        to_m: 120.0,
        bed: Bed::Buried,
        cover_m: Some(0.6),
        height_m: None,
        traffic: Traffic::Truck,
        trench: steadyfall::pipe::Trench::default(),
    }];
    assert_eq!(
        strength::judge(&line, &[]).wheels[0].outcome,
        Err(strength::NoWheel::CoverTooThin)
    );
    line.environment.laid[0].cover_m = Some(1.5);
    assert_eq!(
        strength::judge(&line, &[]).wheels[0].outcome,
        Err(strength::NoWheel::SoilUnknown)
    );
    line.environment.ground = vec![steadyfall::line::Ground {
        from_m: 0.0,
        to_m: 1000.0,
        soil: Some(pipe::Soil::Gravel),
        friction: None,
        dig: pipe::Dig::Easy,
    }];
    let pressed = strength::judge(&line, &[]).wheels[0].outcome.unwrap();
    assert!(pressed.wheel_pa > 0.0 && pressed.share.is_finite());
}

#[test]
fn limits_for_a_safe_time_stand_below_the_rating_by_the_doubt() {
    let mut line = fall("PE4710 DR 17 4 in");
    let sure = strength::limits(&line);
    assert!((sure.rare_pa[100] / sure.routine_pa[100] - 2.0).abs() < 1e-9);
    assert!(sure.least_pa.iter().all(|pa| *pa < 0.0 && *pa > -101_325.0));
    line.geometry.heights.draws.clear();
    line.geometry.heights.drop_sd_m = 2.0;
    let unsure = strength::limits(&line);
    assert!((sure.routine_pa[100] - unsure.routine_pa[100] - 4.0 * 9803.7).abs() < 10.0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_thicker_class_never_uses_more_and_nothing_is_allowed_above_the_rating(
        size in prop::sample::select(vec!["63", "90", "110", "160"]),
        drop in 5.0f64..200.0,
        warmest in 0.0f64..45.0,
    ) {
        let mut last = f64::INFINITY;
        for series in ["26", "21", "17", "13.6", "11", "9", "7.4"] {
            let found = pipe::find(&format!("PE100 SDR {series} {size}")).unwrap();
            let rating = found.rating_pa.unwrap();
            let mut line = Line::plain(&[(0.0, drop), (drop * 8.0, 0.0)], &found);
            line.environment.water.warmest_c = warmest;
            let strength = strength::judge(&line, &[]);
            let used = strength.reaches[0].use_high.unwrap();
            prop_assert!(used <= last);
            prop_assert!(strength.allowed_pa.iter().flatten().all(|pa| *pa <= rating));
            last = used;
        }
    }

    #[test]
    fn zones_cover_the_line_and_every_zone_would_do(
        falls in prop::collection::vec(-1.0f64..4.0, 20..80),
        split in 0.2f64..0.8,
        piece in prop::sample::select(vec![6.0, 25.0, 100.0]),
    ) {
        let mut z = 0.0;
        let mut points = vec![(0.0, 0.0)];
        for (i, fall) in falls.iter().enumerate() {
            z -= fall;
            points.push((10.0 * (i + 1) as f64, z));
        }
        let upper = pipe::find("PE100 SDR 17 110").unwrap();
        let lower = pipe::find("PE100 SDR 7.4 110").unwrap();
        let mut line = Line::plain(&points, &upper);
        let length = line.geometry.length_m();
        let at = (split * length / 10.0).round() * 10.0;
        *line.reaches = vec![Reach { pieces_m: vec![piece], ..Reach::of(upper, 0.0, at) }, Reach { pieces_m: vec![piece], ..Reach::of(lower, at, length) }];
        let Ok(zones) = strength::judge(&line, &[]).zones else { return Ok(()); };
        prop_assert!(zones.list.len() <= 3);
        prop_assert_eq!(zones.list[0].from_m, 0.0);
        prop_assert!((zones.list.last().unwrap().to_m - length).abs() < 1e-9);
        for pair in zones.list.windows(2) {
            prop_assert_eq!(pair[0].to_m, pair[1].from_m);
            let covers = line.environment.piece_length(&line.reaches[0]).usable_m;
            prop_assert!((pair[1].from_m / covers - (pair[1].from_m / covers).round()).abs() < 1e-6, "whole pieces");
        }
        // Built as the zones say, the line is not overused, with the margin.
        *line.reaches = zones.list.iter().map(|zone| Reach::of(zone.pipe.clone(), zone.from_m, zone.to_m)).collect();
        for reach in strength::judge(&line, &[]).reaches {
            prop_assert!(reach.use_high.unwrap() * STATIC_MARGIN <= 1.0 + 1e-9);
        }
    }
}

#[test]
fn a_test_stands_beside_the_share_in_use_and_filling_in_it() {
    let line = fall("PE100 SDR 17 110");
    let test = flat_load(&line, "pressure test", LoadKind::Test, 10e5);
    let filling = flat_load(&line, "filling", LoadKind::Filling, 9.9e5);
    let reach = &strength::judge(&line, &[test, filling]).reaches[0];
    let tested = reach.test.unwrap();
    assert!((tested.use_high - 1.0).abs() < 1e-9 && tested.pressure_pa == 10e5);
    assert!((reach.use_high.unwrap() - 0.99).abs() < 1e-9);
    assert_eq!(
        reach.governing.as_ref().unwrap().cause.kind(),
        LoadKind::Filling
    );
    assert_eq!(reach.filling_pa, Some(9.9e5));
}

#[test]
fn a_movement_in_which_the_water_parts_is_named_wherever_it_governs() {
    let line = fall("PE100 SDR 17 110");
    let slam = Load {
        parts: true,
        ..flat_load(&line, "valve slams", LoadKind::SurgeRare, 9.95e5)
    };
    let strength = strength::judge(&line, &[slam]);
    assert!(strength.reaches[0].governing.as_ref().unwrap().cause.parts);
    assert_eq!(
        strength.parting,
        [state("valve slams", LoadKind::SurgeRare)]
    );
}

#[test]
fn any_steel_that_is_not_stainless_loses_a_millimetre_to_rust() {
    let own = pipe::own(&pipe::Own {
        material: Some(pipe::Material::Steel),
        outer_diameter_m: Some(0.1143),
        wall_m: Some(0.005),
        rating_pa: Some(40e5),
        ..pipe::Own::default()
    })
    .unwrap();
    let line = Line::plain(&[(0.0, 100.0), (1000.0, 0.0)], &own);
    let reach = &strength::judge(&line, &[]).reaches[0];
    assert!((reach.left.share - 0.8).abs() < 1e-9 && reach.left.rust_m == 1e-3);
}

#[test]
fn traffic_is_parted_where_pipe_and_ground_change() {
    let mut line = fall("PE100 SDR 11 110");
    line.environment.laid = vec![Laid {
        from_m: 100.0,
        to_m: 140.0,
        bed: Bed::Buried,
        cover_m: Some(1.5),
        height_m: None,
        traffic: Traffic::Car,
        trench: steadyfall::pipe::Trench::default(),
    }];
    let ground = |from_m, to_m, soil| steadyfall::line::Ground {
        from_m,
        to_m,
        soil: Some(soil),
        friction: None,
        dig: pipe::Dig::Easy,
    };
    line.environment.ground = vec![
        ground(0.0, 120.0, pipe::Soil::Gravel),
        ground(120.0, 1000.0, pipe::Soil::Peat),
    ];
    let wheels = strength::judge(&line, &[]).wheels;
    assert_eq!(wheels.len(), 2);
    assert!(wheels[0].outcome.is_ok() && wheels[0].to_m == 120.0);
    assert_eq!(wheels[1].outcome, Err(strength::NoWheel::SoilTooSoft));
}
