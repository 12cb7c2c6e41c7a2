//! Laying on whole lines: bends, pieces, joints, the list that adds up, what to buy.

use proptest::prelude::*;
use steadyfall::laying::{self, AvoidWhy, Item, JointAt, Laying, Way, What};
use steadyfall::line::{Fitting, Laid, Line};
use steadyfall::pipe::{self, Bed, FittingKind, InBend, Joint, Traffic};
use steadyfall::profile::{Climb, Profile, Verdict};
use steadyfall::route::Bend;

fn line(words: &str, length_m: f64) -> Line {
    let count = (length_m / 10.0).ceil();
    let points: Vec<(f64, f64)> = (0..=count as usize)
        .map(|i| length_m * i as f64 / count)
        .map(|s| (s, 100.0 - 0.1 * s))
        .collect();
    let mut line = Line::plain(&points, &pipe::find(words).unwrap());
    line.reaches[0].is_laid = false;
    line
}

fn bend(station_m: f64, degrees: f64) -> Bend {
    Bend {
        station_m,
        plan_rad: degrees.to_radians(),
        profile_rad: 0.0,
        angle_rad: degrees.to_radians(),
        sd_rad: 0.5f64.to_radians(),
        over_m: 0.0,
    }
}

fn climb(low: f64, crest: f64, end: f64) -> Climb {
    Climb {
        low_station_m: low,
        crest_station_m: crest,
        end_station_m: end,
        crest_from_m: crest - 1.0,
        crest_to_m: crest + 1.0,
        reach_from_m: low,
        reach_to_m: end,
        rise_m: 0.4,
        rise_sd_m: 0.05,
        probability: 0.99,
        seal_probability: 0.95,
        verdict: Verdict::Climbs,
        pocket_m3: 0.01,
    }
}

fn plan(line: &Line, profile: &Profile) -> Laying {
    laying::plan(line, profile, None, None)
}

#[test]
fn a_coil_loses_its_curved_ends_and_the_list_is_short() {
    let mut line = line("PE100 SDR 11 90", 640.0);
    line.reaches[0].piece_m = Some(100.0);
    line.reaches[0].coil = true;
    line.situation.hottest_air_c = 24.0;
    line.situation.coldest_air_c = -8.0;
    let plan = plan(&line, &Profile::default());
    // 98 m straight in each coil, less 1.8e-4 x 32 K of slack: 97.44 m of line a coil.
    assert_eq!(plan.pieces.len(), 7);
    assert!(
        (plan.pieces[0].to_m - 97.438).abs() < 2e-3,
        "{}",
        plan.pieces[0].to_m
    );
    let pipe = &plan.shopping[0];
    assert_eq!(
        (pipe.item.clone(), pipe.count, pipe.each_m),
        (Item::Coil, 7.0, Some(100.0))
    );
    assert_eq!(plan.shopping[1].item, Item::Joint(Joint::Fused));
    assert_eq!(plan.shopping[1].count, 6.0);
    assert!(matches!(plan.steps[0].what, What::Lay(0)));
}

#[test]
fn couplers_are_counted_with_spares_and_their_own_limit() {
    let mut line = line("PE100 SDR 11 63", 640.0);
    line.reaches[0].joint = Joint::Compression;
    line.reaches[0].piece_m = Some(100.0);
    line.reaches[0].coil = true;
    line.reaches[0].price_per_m = Some(2.5);
    let plan = plan(&line, &Profile::default());
    let pipe = &plan.shopping[0];
    assert_eq!(pipe.price, Some(7.0 * 100.0 * 2.5));
    let joints = plan
        .shopping
        .iter()
        .find(|r| r.item == Item::Joint(Joint::Compression))
        .unwrap();
    assert_eq!(
        (joints.count, joints.spare, joints.rating_pa),
        (6.0, 1.0, Some(10e5))
    );
}

#[test]
fn stiff_pipe_needs_elbows_and_polyethylene_bends() {
    for (words, elbow) in [
        ("PE100 SDR 11 90", false),
        ("steel Grade B schedule 40 3 in", true),
    ] {
        let mut line = line(words, 200.0);
        line.bends = vec![bend(100.0, 20.0)];
        let plan = plan(&line, &Profile::default());
        assert_eq!(matches!(plan.bends[0].way, Way::Elbow(_)), elbow, "{words}");
        assert_eq!(
            plan.joints
                .iter()
                .any(|j| matches!(j.at, JointAt::Elbow(0))),
            elbow
        );
    }
    // 20 degrees in 300 diameters of 110 mm is 5.8 m of tangent and 0.5 m off the line: too far.
    let mut line = line("DIN 8062 PN 10 110", 200.0);
    line.bends = vec![bend(100.0, 20.0)];
    assert!(
        matches!(plan(&line, &Profile::default()).bends[0].way, Way::Elbow(a) if (a.to_degrees() - 22.5).abs() < 1e-9)
    );
    // 3 degrees: the barrel takes it by itself; a slight corner with no room beside it is turned by one ring joint.
    line.bends = vec![bend(100.0, 3.0)];
    assert_eq!(plan(&line, &Profile::default()).bends[0].way, Way::Pipe);
    line.reaches[0].joint = Joint::Ring;
    let slight = |at| Bend {
        sd_rad: 0.2f64.to_radians(),
        ..bend(at, 1.5)
    };
    line.bends = vec![slight(100.0), slight(101.0)];
    let turned = plan(&line, &Profile::default());
    assert_eq!(turned.bends[0].way, Way::Joints(1));
    assert!(
        turned
            .joints
            .iter()
            .any(|j| j.at == JointAt::Turn(0) && j.station_m == 100.0)
    );
}

#[test]
fn a_bend_inside_its_doubt_is_not_told() {
    let mut line = line("steel Grade B schedule 40 3 in", 200.0);
    line.bends = vec![Bend {
        sd_rad: 2f64.to_radians(),
        ..bend(100.0, 4.0)
    }];
    assert_eq!(
        plan(&line, &Profile::default()).bends[0].way,
        Way::CannotTell
    );
}

#[test]
fn an_elbow_that_stands_is_used() {
    let mut line = line("steel Grade B schedule 40 3 in", 200.0);
    line.bends = vec![bend(100.0, 44.0)];
    line.fittings = vec![Fitting {
        station_m: 100.5,
        kind: FittingKind::Elbow,
        name: "elbow".into(),
        k: None,
        open: 1.0,
        angle_rad: None,
        in_plan: None,
        bore_m: None,
        rating_pa: None,
    }];
    assert_eq!(
        plan(&line, &Profile::default()).bends[0].way,
        Way::Stands(0)
    );
}

#[test]
fn a_valve_in_a_bend_is_told() {
    let mut line = line("PE100 SDR 11 90", 200.0);
    line.situation.coldest_air_c = -8.0;
    line.bends = vec![bend(100.0, 35.0), bend(150.0, 35.0)];
    line.fittings = vec![Fitting {
        station_m: 100.4,
        kind: FittingKind::GateValve,
        name: "valve".into(),
        k: None,
        open: 1.0,
        angle_rad: None,
        in_plan: None,
        bore_m: None,
        rating_pa: None,
    }];
    assert_eq!(plan(&line, &Profile::default()).fittings_in_bends, [(0, 0)]);
}

#[test]
fn joints_keep_off_crests_climbs_and_spans() {
    let mut line = line("PE100 SDR 11 90", 300.0);
    line.reaches[0].piece_m = Some(100.0);
    line.laid = vec![Laid {
        from_m: 190.0,
        to_m: 196.0,
        bed: Bed::Span,
        cover_m: None,
        height_m: None,
        traffic: Traffic::None,
    }];
    let profile = Profile {
        climbs: vec![climb(95.0, 100.0, 106.0)],
        ..Profile::default()
    };
    let plan = plan(&line, &profile);
    for joint in &plan.joints {
        let s = joint.station_m;
        assert!(
            (s <= 95.0 || s >= 106.0) && (s <= 190.0 || s >= 196.0),
            "{s}"
        );
        assert_eq!(joint.forced, None);
    }
    // A climb longer than the pieces cannot be kept free of joints: it is said.
    let long = Profile {
        climbs: vec![climb(20.0, 130.0, 260.0)],
        ..Profile::default()
    };
    assert!(
        laying::plan(&line, &long, None, None)
            .joints
            .iter()
            .any(|j| j.forced == Some(AvoidWhy::Climb))
    );
}

#[test]
fn joints_that_exist_are_kept() {
    let mut line = line("PE100 SDR 11 90", 300.0);
    line.reaches[0].is_laid = true;
    line.reaches[0].joints_at_m = vec![200.0, 100.0];
    let plan = plan(&line, &Profile::default());
    assert_eq!(
        plan.joints.iter().map(|j| j.station_m).collect::<Vec<_>>(),
        [100.0, 200.0]
    );
    assert!(plan.joints.iter().all(|j| j.at == JointAt::Stands));
    assert!(plan.shopping.is_empty());
}

/// What must hold for any plan.
fn holds(line: &Line, plan: &Laying) -> Result<(), TestCaseError> {
    let sum: f64 = plan.pieces.iter().map(|p| p.to_m - p.from_m).sum();
    prop_assert!((sum - line.length_m()).abs() < 1e-6);
    prop_assert_eq!(plan.pieces[0].from_m, 0.0);
    for pair in plan.pieces.windows(2) {
        prop_assert_eq!(pair[0].to_m, pair[1].from_m);
        prop_assert!(plan.joints.iter().any(|j| j.station_m == pair[0].to_m));
    }
    for piece in &plan.pieces {
        prop_assert!(piece.cut_m <= piece.bought_m.unwrap() + 1e-9 && piece.to_m > piece.from_m);
    }
    let coldest = line.situation.coldest_air_c.min(line.water.coldest_c);
    for joint in plan
        .joints
        .iter()
        .filter(|j| j.at == JointAt::Pieces && j.forced.is_none())
    {
        let s = joint.station_m;
        prop_assert!(!plan.avoided.iter().any(|a| s > a.from_m && s < a.to_m));
        for bend in plan
            .bends
            .iter()
            .filter(|b| (b.station_m - s).abs() < b.length_m / 2.0)
        {
            let least =
                pipe::least_radius_m(&line.reach_at(s).unwrap().pipe, coldest, InBend::Fitting);
            prop_assert!(
                least.is_some_and(|r| bend.radius_m >= r.value)
                    || matches!(bend.way, Way::Elbow(_) | Way::Joints(_))
            );
        }
    }
    let laid = plan
        .steps
        .iter()
        .filter(|s| matches!(s.what, What::Lay(_) | What::Lies(_)))
        .count();
    prop_assert_eq!(laid, plan.pieces.len());
    prop_assert!(
        plan.steps
            .windows(2)
            .all(|w| w[0].station_m <= w[1].station_m + 1e-9)
    );
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn the_list_adds_up_and_joints_keep_their_rule(
        words in prop::sample::select(vec!["PE100 SDR 11 90", "PE100 SDR 17 250", "PE4710 DR 11 3 in", "DIN 8062 PN 10 110", "steel Grade B schedule 40 3 in"]),
        length in 20.0f64..1500.0,
        piece in prop::sample::select(vec![6.0, 12.0, 100.0]),
        coil in any::<bool>(),
        bends in prop::collection::vec((0.02f64..0.98, 0.5f64..80.0, prop::sample::select(vec![0.0, 2.0, 12.0])), 0..12),
        crest in 0.1f64..0.9,
        shuffle in any::<bool>(),
    ) {
        let mut line = line(words, length);
        line.reaches[0].piece_m = Some(piece);
        line.reaches[0].coil = coil && words.starts_with("PE");
        if words.starts_with("DIN") {
            line.reaches[0].joint = Joint::Ring;
        }
        line.bends = bends.iter().map(|(at, degrees, over)| Bend { over_m: *over, ..bend(at * length, *degrees) }).collect();
        let at = crest * length;
        let profile = Profile { climbs: vec![climb((at - 3.0).max(0.0), at, (at + 4.0).min(length))], ..Profile::default() };
        let first = plan(&line, &profile);
        holds(&line, &first)?;
        // The same things in another order give the same list.
        if shuffle {
            line.bends.reverse();
        } else {
            line.bends.rotate_left(bends.len() / 2);
        }
        prop_assert_eq!(plan(&line, &profile), first);
    }
}
