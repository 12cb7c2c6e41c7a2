//! Laying on whole lines: bends, pieces, joints, the list that adds up, what to buy.

use proptest::prelude::*;
use std::collections::BTreeMap;
use steadyfall::capacity;
use steadyfall::laying::{self, AvoidWhy, BendMethod, JointAt, Laying, ShoppingItem, What};
use steadyfall::line::{Fitting, Laid, Line};
use steadyfall::pipe::{self, Bed, FittingKind, InBend, Joint, MarkKind, Traffic};
use steadyfall::profile::{Climb, ClimbVerdict, Profile};
use steadyfall::route::Bend;

fn line_of(words: &str, length_m: f64) -> Line {
    line(words, length_m)
}

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
        verdict: ClimbVerdict::Climbs,
        hangs_on_one_walk: false,
        pocket_m3: 0.01,
    }
}

fn plan(line: &Line, profile: &Profile) -> Laying {
    laying::plan(line, profile, None, None)
}

#[test]
fn a_coil_loses_its_curved_ends_and_the_list_is_short() {
    let mut line = line("PE100 SDR 11 90", 640.0);
    line.reaches[0].pieces_m = vec![100.0];
    line.reaches[0].coil = true;
    line.environment.situation.hottest_air_c = 24.0;
    line.environment.situation.coldest_air_c = -8.0;
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
        (ShoppingItem::Coil, 7.0, Some(100.0))
    );
    assert_eq!(plan.shopping[1].item, ShoppingItem::Joint(Joint::Fused));
    assert_eq!(plan.shopping[1].count, 6.0);
    assert!(matches!(plan.steps[0].what, What::Lay(0)));
}

#[test]
fn couplers_are_counted_with_spares_and_their_own_limit() {
    let mut line = line("PE100 SDR 11 63", 640.0);
    line.reaches[0].joint = Joint::Compression;
    line.reaches[0].pieces_m = vec![100.0];
    line.reaches[0].coil = true;
    line.reaches[0].price_per_m = Some(2.5);
    let plan = plan(&line, &Profile::default());
    let pipe = &plan.shopping[0];
    assert_eq!(pipe.price, Some(7.0 * 100.0 * 2.5));
    let joints = plan
        .shopping
        .iter()
        .find(|r| r.item == ShoppingItem::Joint(Joint::Compression))
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
        line.geometry.bends = vec![bend(100.0, 20.0)];
        let plan = plan(&line, &Profile::default());
        assert_eq!(
            matches!(plan.bends[0].way, BendMethod::Elbow(_)),
            elbow,
            "{words}"
        );
        assert_eq!(
            plan.joints
                .iter()
                .any(|j| matches!(j.at, JointAt::Elbow(0))),
            elbow
        );
    }
    // 20 degrees in 300 diameters of 110 mm is 5.8 m of tangent and 0.5 m off the line: too far.
    let mut line = line("DIN 8062 PN 10 110", 200.0);
    line.geometry.bends = vec![bend(100.0, 20.0)];
    assert!(
        matches!(plan(&line, &Profile::default()).bends[0].way, BendMethod::Elbow(a) if (a.to_degrees() - 22.5).abs() < 1e-9)
    );
    // 3 degrees: the barrel takes it by itself; a slight corner with no room beside it is turned by one ring joint.
    line.geometry.bends = vec![bend(100.0, 3.0)];
    assert_eq!(
        plan(&line, &Profile::default()).bends[0].way,
        BendMethod::Pipe
    );
    line.reaches[0].joint = Joint::Ring;
    let slight = |at| Bend {
        sd_rad: 0.2f64.to_radians(),
        ..bend(at, 1.5)
    };
    line.geometry.bends = vec![slight(100.0), slight(101.0)];
    let turned = plan(&line, &Profile::default());
    assert_eq!(turned.bends[0].way, BendMethod::Joints(1));
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
    line.geometry.bends = vec![Bend {
        sd_rad: 2f64.to_radians(),
        ..bend(100.0, 4.0)
    }];
    assert_eq!(
        plan(&line, &Profile::default()).bends[0].way,
        BendMethod::CannotTell
    );
}

#[test]
fn an_elbow_that_stands_is_used() {
    let mut line = line("steel Grade B schedule 40 3 in", 200.0);
    line.geometry.bends = vec![bend(100.0, 44.0)];
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
        BendMethod::Stands(0)
    );
}

#[test]
fn a_valve_in_a_bend_is_told() {
    let mut line = line("PE100 SDR 11 90", 200.0);
    line.environment.situation.coldest_air_c = -8.0;
    line.geometry.bends = vec![bend(100.0, 35.0), bend(150.0, 35.0)];
    line.fittings = vec![valve(100.4)];
    assert_eq!(plan(&line, &Profile::default()).fittings_in_bends, [(0, 0)]);
}

#[test]
fn joints_keep_off_crests_climbs_and_spans() {
    let mut line = line("PE100 SDR 11 90", 300.0);
    line.reaches[0].pieces_m = vec![100.0];
    line.environment.laid = vec![Laid {
        from_m: 190.0,
        to_m: 196.0,
        bed: Bed::Span,
        cover_m: None,
        height_m: None,
        traffic: Traffic::None,
        trench: steadyfall::pipe::Trench::default(),
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
    // Stations are whole millimetres but for the ends of the reach and what parts it, so the list adds up to the line to the millimetre.
    let sum: f64 = plan.pieces.iter().map(|p| p.to_m - p.from_m).sum();
    prop_assert!((sum - line.geometry.length_m()).abs() < 1e-6);
    prop_assert_eq!(plan.pieces[0].from_m, 0.0);
    for pair in plan.pieces.windows(2) {
        prop_assert_eq!(pair[0].to_m, pair[1].from_m);
        prop_assert!(plan.joints.iter().any(|j| j.station_m == pair[0].to_m));
    }
    for joint in plan.joints.iter().filter(|j| j.at == JointAt::Pieces) {
        let mm = joint.station_m * 1000.0;
        prop_assert!((mm - mm.round()).abs() < 1e-6, "{}", joint.station_m);
    }
    for piece in &plan.pieces {
        let reach = &line.reaches[piece.reach];
        prop_assert!(piece.to_m > piece.from_m);
        prop_assert!(
            (piece.cut_m - line.environment.cut_m(reach, piece.from_m, piece.to_m)).abs() < 1e-9
        );
    }
    bought_holds(line, plan)?;
    no_joint_in_a_tight_bend(line, plan)?;
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

/// Every coil or stick holds what is cut from it, its curved ends apart; what is left and the shopping list tell the same.
fn bought_holds(line: &Line, plan: &Laying) -> Result<(), TestCaseError> {
    let mut by_number: BTreeMap<usize, Vec<&laying::LaidPiece>> = BTreeMap::new();
    for piece in plan.pieces.iter().filter(|p| p.bought_m.is_some()) {
        by_number
            .entry(piece.cut_from.unwrap())
            .or_default()
            .push(piece);
    }
    prop_assert!(by_number.keys().copied().eq(1..=by_number.len()));
    let (mut bought_m, mut left_m) = (0.0, 0.0);
    for pieces in by_number.values() {
        let each_m = pieces[0].bought_m.unwrap();
        let length = line
            .environment
            .piece_lengths(&line.reaches[pieces[0].reach])
            .into_iter()
            .find(|l| l.bought_m == each_m)
            .expect("a length that can be bought");
        let cut_m: f64 = pieces.iter().map(|p| p.cut_m).sum();
        prop_assert!(
            cut_m <= each_m - length.ends_m + 1e-5,
            "{} of {}",
            cut_m,
            each_m
        );
        prop_assert!((pieces.last().unwrap().left_m - (each_m - cut_m)).abs() < 1e-5);
        prop_assert!(pieces.iter().all(|p| p.bought_m == Some(each_m)));
        bought_m += each_m;
        left_m += each_m - cut_m;
    }
    let rows: Vec<_> = plan
        .shopping
        .iter()
        .filter(|r| matches!(r.item, ShoppingItem::Coil | ShoppingItem::Stick))
        .collect();
    let listed: f64 = rows.iter().map(|r| r.count * r.each_m.unwrap()).sum();
    let rest: f64 = rows.iter().map(|r| r.left_m.unwrap()).sum();
    prop_assert!((listed - bought_m).abs() < 1e-6 && (rest - left_m).abs() < 1e-4);
    Ok(())
}

/// No joint that the list makes stands in a bend tighter than its rule: an elbow, a turning joint or a longer piece is there instead.
///
/// Where curves as surveyed overlap one another no rule says whose radius counts, and where something parts the pipe inside a bend the next piece begins there: those are told as forced.
fn no_joint_in_a_tight_bend(line: &Line, plan: &Laying) -> Result<(), TestCaseError> {
    let coldest = line
        .environment
        .situation
        .coldest_air_c
        .min(line.environment.water.coldest_c);
    let ends = |b: &capacity::BendCheck| {
        (
            b.station_m - b.length_m / 2.0,
            b.station_m + b.length_m / 2.0,
        )
    };
    let curved: Vec<_> = plan
        .bends
        .iter()
        .filter(|b| matches!(b.way, BendMethod::Pipe | BendMethod::CannotTell))
        .collect();
    for bend in &curved {
        let (from, to) = ends(bend);
        let meets_another = curved.iter().any(|o| {
            let (a, b) = ends(o);
            o.station_m != bend.station_m && a < to - 1e-9 && b > from + 1e-9
        });
        let parted = plan
            .joints
            .iter()
            .any(|j| j.at != JointAt::Pieces && j.station_m > from && j.station_m < to);
        for joint in plan.joints.iter().filter(|j| j.at == JointAt::Pieces) {
            let s = joint.station_m;
            if s <= from + 1e-9 || s >= to - 1e-9 {
                continue;
            }
            let what = if joint.joint == Joint::Fused {
                InBend::Pipe
            } else {
                InBend::Fitting
            };
            let least = pipe::least_radius_m(&line.reaches.at(s).unwrap().pipe, coldest, what);
            // A joint takes up one degree in fitting, a ring joint turns two: in a curve so gentle it may stand, and is told.
            let piece_m = line
                .environment
                .piece_length(line.reaches.at(s).unwrap())
                .usable_m;
            let turn_deg = if joint.joint == Joint::Ring { 2.0 } else { 1.0 };
            let turned = (piece_m / bend.radius_m).min(bend.angle_rad).to_degrees();
            let gentle = joint.forced.is_some() && turned <= turn_deg;
            let bears = bend.way == BendMethod::CannotTell && joint.joint == Joint::Fused
                || gentle
                || least.is_some_and(|r| bend.radius_m >= r.value);
            prop_assert!(
                bears || ((meets_another || parted) && joint.forced.is_some()),
                "joint {:?} in {:?}",
                joint,
                bend
            );
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(160))]

    #[test]
    fn the_list_adds_up_and_joints_keep_their_rule(
        words in prop::sample::select(vec!["PE100 SDR 11 90", "PE100 SDR 17 250", "PE4710 DR 11 3 in", "DIN 8062 PN 10 110", "steel Grade B schedule 40 3 in"]),
        length in 20.0f64..1500.0,
        pieces in prop::sample::select(vec![vec![6.0], vec![12.0], vec![100.0], vec![6.0, 12.0], vec![25.0, 50.0, 100.0, 200.0], vec![37.5, 5.8, 11.6]]),
        coil in any::<bool>(),
        joint in prop::sample::select(vec![Joint::Fused, Joint::Compression, Joint::Electrofusion]),
        bends in prop::collection::vec((0.02f64..0.98, 0.5f64..80.0, prop::sample::select(vec![0.0, 2.0, 12.0])), 0..12),
        crest in 0.1f64..0.9,
        buried in 0.0f64..0.9,
        shuffle in any::<bool>(),
    ) {
        let mut line = line(words, length);
        line.reaches[0].pieces_m = pieces.clone();
        if words.starts_with("PE") {
            line.reaches[0].coil = coil;
            line.reaches[0].joint = joint;
        }
        if words.starts_with("DIN") {
            line.reaches[0].joint = Joint::Ring;
        }
        line.environment.situation.hottest_air_c = 30.0;
        line.environment.situation.coldest_air_c = -10.0;
        line.environment.laid = vec![Laid { from_m: 0.3 * length, to_m: (0.3 + 0.7 * buried) * length, bed: Bed::Buried, cover_m: Some(0.6), height_m: None, traffic: Traffic::None, trench: steadyfall::pipe::Trench::default() }];
        line.geometry.bends = bends.iter().map(|(at, degrees, over)| Bend { over_m: *over, ..bend(at * length, *degrees) }).collect();
        let at = crest * length;
        let profile = Profile { climbs: vec![climb((at - 3.0).max(0.0), at, (at + 4.0).min(length))], ..Profile::default() };
        let first = plan(&line, &profile);
        holds(&line, &first)?;
        // The same things in another order give the same list.
        if shuffle {
            line.geometry.bends.reverse();
            line.reaches[0].pieces_m.reverse();
        } else {
            line.geometry.bends.rotate_left(bends.len() / 2);
            line.reaches[0].pieces_m.rotate_left(pieces.len() / 2);
        }
        prop_assert!(plan(&line, &profile) == first, "another order, another list");
    }

    /// Against every choice there is: no list of these lengths has fewer joints, and none with as few buys less pipe.
    #[test]
    fn no_other_choice_of_lengths_is_better(
        length in 8.0f64..400.0,
        pieces in prop::collection::vec((10u32..1200).prop_map(|d| f64::from(d) / 10.0), 1..4),
    ) {
        let mut line = line("DIN 8062 PN 10 110", length);
        line.reaches[0].joint = Joint::Solvent;
        line.reaches[0].pieces_m = pieces.clone();
        let longest = pieces.iter().copied().fold(0.0, f64::max);
        let count = (length / longest - 1e-9).ceil().max(1.0) as usize;
        prop_assume!(count <= 12);
        let got = plan(&line, &Profile::default());
        // A rest shorter than a metre is avoided, which may take a piece a metre shorter; it never takes one more.
        prop_assert_eq!(got.pieces.len(), count);
        let bought: f64 = got.pieces.iter().map(|p| p.bought_m.unwrap()).sum();
        let best = combinations(&pieces, count)
            .into_iter()
            .filter(|sum| *sum >= length + 1.0)
            .fold(f64::INFINITY, f64::min);
        prop_assert!(bought <= best + 1e-6, "bought {}, {} would do", bought, best);
        prop_assert!(bought >= length - 1e-6);
    }
}

/// Sums of so many lengths, repeats allowed.
fn combinations(lengths: &[f64], count: usize) -> Vec<f64> {
    match lengths {
        [] => Vec::new(),
        [one] => vec![one * count as f64],
        [one, rest @ ..] => (0..=count)
            .flat_map(|k| {
                combinations(rest, count - k)
                    .into_iter()
                    .map(move |s| s + one * k as f64)
            })
            .collect(),
    }
}

#[test]
fn several_lengths_are_mixed_and_what_is_cut_off_serves_again() {
    let mut line = line("PE100 SDR 11 90", 640.0);
    line.reaches[0].pieces_m = vec![25.0, 100.0, 50.0];
    line.reaches[0].coil = true;
    line.environment.situation.hottest_air_c = 24.0;
    line.environment.situation.coldest_air_c = -8.0;
    let mixed = plan(&line, &Profile::default());
    // Six coils of 100 m cover 584.63 m of line; the 55.37 m that are left ask for one more of 100 m, with as few joints.
    let bought: Vec<f64> = mixed.pieces.iter().map(|p| p.bought_m.unwrap()).collect();
    assert_eq!(bought, [100.0; 7]);
    line = line_of("PE100 SDR 11 90", 630.0);
    line.reaches[0].pieces_m = vec![25.0, 100.0, 50.0];
    line.reaches[0].coil = true;
    let mixed = plan(&line, &Profile::default());
    let mut bought: Vec<f64> = mixed.pieces.iter().map(|p| p.bought_m.unwrap()).collect();
    bought.sort_by(f64::total_cmp);
    assert_eq!(bought, [50.0, 100.0, 100.0, 100.0, 100.0, 100.0, 100.0]);
    let rows: Vec<(f64, Option<f64>)> = mixed
        .shopping
        .iter()
        .filter(|r| r.item == ShoppingItem::Coil)
        .map(|r| (r.count, r.each_m))
        .collect();
    assert_eq!(rows, [(6.0, Some(100.0)), (1.0, Some(50.0))]);
    // A valve at 40 m parts the pipe: 40 m and 58 m of the next stretch come from one coil.
    let mut line = line_of("PE100 SDR 11 90", 98.0);
    line.reaches[0].pieces_m = vec![100.0];
    line.reaches[0].coil = true;
    line.environment.situation.hottest_air_c = -20.0;
    line.fittings = vec![valve(40.0)];
    let shared = plan(&line, &Profile::default());
    assert_eq!(shared.pieces.len(), 2);
    assert!(shared.pieces.iter().all(|p| p.cut_from == Some(1)));
    assert!((shared.pieces[1].left_m - 2.0).abs() < 1e-9);
    assert_eq!(shared.shopping[0].count, 1.0);
}

fn valve(station_m: f64) -> Fitting {
    Fitting {
        station_m,
        kind: FittingKind::GateValve,
        name: "valve".into(),
        k: None,
        open: 1.0,
        angle_rad: None,
        in_plan: None,
        bore_m: None,
        rating_pa: None,
    }
}

#[test]
fn a_curve_that_no_stick_can_span_without_a_joint_is_not_the_pipes() {
    // PVC in 6 m sticks round a gentle curve of 20 m: the barrel bears the radius, no joint does.
    let mut curve = line("DIN 8062 PN 10 110", 200.0);
    curve.reaches[0].joint = Joint::Solvent;
    curve.geometry.bends = vec![Bend {
        over_m: 20.0,
        ..bend(100.0, 20.0)
    }];
    assert!(matches!(
        plan(&curve, &Profile::default()).bends[0].way,
        BendMethod::Elbow(_)
    ));
    // The same curve over 4 m in a stick: too tight for either. Over 5 m and 6 degrees the stick bends, and its joints stay outside.
    curve.geometry.bends = vec![Bend {
        over_m: 5.0,
        sd_rad: 0.1f64.to_radians(),
        ..bend(100.0, 6.0)
    }];
    let spanned = plan(&curve, &Profile::default());
    assert_eq!(spanned.bends[0].way, BendMethod::Pipe);
    assert!(
        spanned
            .joints
            .iter()
            .all(|j| (j.station_m - 100.0).abs() >= 2.5)
    );
}

#[test]
fn holds_are_bought_by_strength_and_none_is_left_out() {
    let study = &crate::drawing::sample("otter-gill").study;
    let (line, profile) = (&study.line, &study.profile);
    let mut anchor = study.anchor.clone().unwrap();
    let mut force_n = 100.0;
    for hold in anchor.holds.iter_mut().filter(|h| h.stands.is_none()) {
        hold.force_n = force_n;
        force_n *= 1.3;
    }
    let made = laying::plan(line, profile, study.air.as_ref(), Some(&anchor));
    for (kind, item) in [
        (MarkKind::Anchor, ShoppingItem::Anchor),
        (MarkKind::Strap, ShoppingItem::Strap),
        (MarkKind::Support, ShoppingItem::Support),
        (MarkKind::Guide, ShoppingItem::Guide),
    ] {
        let wanted = || {
            anchor
                .holds
                .iter()
                .filter(|h| h.stands.is_none() && h.kind == kind)
        };
        let rows: Vec<_> = made.shopping.iter().filter(|r| r.item == item).collect();
        let bought: f64 = rows.iter().map(|r| r.count).sum();
        assert_eq!(bought, wanted().count() as f64, "{item:?}");
        for hold in wanted() {
            let row = rows
                .iter()
                .filter(|r| r.stations_m.contains(&hold.station_m))
                .map(|r| r.force_n.unwrap())
                .fold(f64::INFINITY, f64::min);
            assert!(
                row >= hold.force_n && row <= 2.0 * hold.force_n,
                "{hold:?}: {row}"
            );
        }
    }
}
