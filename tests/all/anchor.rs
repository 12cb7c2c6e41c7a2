//! What holds whole lines: thrusts in space, blocks, ends, slopes, floods, heat, spans, and what is set on the hill.

use proptest::prelude::*;
use steadyfall::anchor::{
    Anchor, BearingTable, BlockKind, HoldWhy, Loads, NoBlock, PullPlace, Push, Sense, Slack,
    ThrustSource, Towards, judge,
};
use steadyfall::capacity::Which;
use steadyfall::line::{Appurtenance, Fitting, Flood, Ground, Laid, Line};
use steadyfall::pipe::{
    Bed, Debris, Dig, FittingKind, Joint, MarkKind, Often, Pipe, Soil, Traffic, WorkingState, find,
};
use steadyfall::route::{Bend, Plan};

fn pe() -> Pipe {
    find("PE100 SDR 11 110").unwrap()
}

/// A line falling evenly by 20 degrees, with a plan that runs due north.
fn line(joint: Joint) -> Line {
    let points: Vec<(f64, f64)> = (0..=40)
        .map(|i| {
            let s = 5.0 * f64::from(i);
            (s, 100.0 - s * 20.0_f64.to_radians().sin())
        })
        .collect();
    let mut line = Line::plain(&points, &pe());
    line.reaches[0].joint = joint;
    line.geometry.plan = line
        .geometry
        .horizontal_m
        .iter()
        .map(|&h| {
            Some(Plan {
                east_m: 0.0,
                north_m: h,
                lat_lon_deg: None,
            })
        })
        .collect();
    line
}

fn bend(station_m: f64, plan_deg: f64, profile_deg: f64) -> Bend {
    let (turn, rise) = (plan_deg.to_radians(), -20.0_f64.to_radians());
    let after = rise + profile_deg.to_radians();
    let cosine = rise.cos() * after.cos() * turn.cos() + rise.sin() * after.sin();
    Bend {
        station_m,
        plan_rad: turn,
        profile_rad: profile_deg.to_radians(),
        angle_rad: cosine.clamp(-1.0, 1.0).acos(),
        sd_rad: 0.01,
        over_m: 0.0,
    }
}

/// Still water from the intake down, and a fifth of it on top.
fn loads(line: &Line) -> Loads {
    let standing: Vec<f64> = line
        .geometry
        .heights
        .mean_m
        .iter()
        .map(|z| (line.intake.level_m - z) * 9_810.0)
        .collect();
    Loads {
        largest_pa: standing.iter().map(|p| 1.2 * p).collect(),
        by: Vec::new(),
        parting: Vec::new(),
        test_pa: Vec::new(),
        standing_pa: standing,
        flow_m3_per_s: 0.005,
    }
}

fn judged(line: &Line) -> Anchor {
    judge(line, &loads(line))
}

fn soil(line: &mut Line, soil: Soil, friction: Option<f64>) {
    line.environment.ground = vec![Ground {
        from_m: 0.0,
        to_m: line.geometry.length_m(),
        soil: Some(soil),
        friction,
        dig: Dig::Easy,
    }];
}

fn stand(kind: MarkKind, station_m: f64, strength_n: Option<f64>) -> Appurtenance {
    Appurtenance {
        kind,
        station_m,
        device: None,
        bore_m: None,
        top_m: None,
        cock_open: true,
        state: WorkingState::Works,
        strength_n,
        opens_at_pa: None,
        slack_m: None,
        name: String::new(),
    }
}

fn laid(line: &mut Line, from_m: f64, to_m: f64, bed: Bed) {
    line.environment.laid.push(Laid {
        from_m,
        to_m,
        bed,
        cover_m: (bed == Bed::Buried).then_some(0.6),
        height_m: (bed == Bed::Raised).then_some(0.5),
        traffic: Traffic::None,
        trench: steadyfall::pipe::Trench::default(),
    });
}

#[test]
fn a_fused_line_gets_no_block_but_its_ends_are_held() {
    let mut line = line(Joint::Fused);
    line.geometry.bends = vec![bend(60.0, 40.0, 0.0), bend(120.0, 0.0, 15.0)];
    let anchor = judged(&line);
    // 40 degrees want an elbow; 15 the pipe follows by itself, and carries the pull
    assert_eq!((anchor.pushes.len(), anchor.curves.len()), (2, 1));
    assert!(anchor.pushes.iter().all(|p| p.restrained && p.size_n > 0.0));
    assert!(anchor.curves[0].restrained && anchor.curves[0].lacks_n_per_m() == 0.0);
    assert!(anchor.blocks.is_empty());
    let places: Vec<_> = anchor.pulls.iter().map(|p| p.place).collect();
    assert_eq!(places, [PullPlace::Intake, PullPlace::Turbine]);
    for pull in &anchor.pulls {
        assert!(pull.hold_n >= pull.by_pressure_n);
        assert!(pull.tight_n >= pull.by_cold_n + pull.by_shortening_n);
        assert!(pull.hold_n >= pull.by_shortening_n && pull.hold_n <= pull.tight_n);
        assert!(pull.shortens_m > 0.0);
    }
    let end = &anchor.pulls[1];
    // 200 sin 20 of head and a fifth, on 110 mm
    let want = 1.2
        * 200.0
        * 20.0_f64.to_radians().sin()
        * 9_810.0
        * 0.110_f64.powi(2)
        * std::f64::consts::FRAC_PI_4;
    assert!((end.by_pressure_n / want - 1.0).abs() < 1e-6);
    assert!(anchor.holds.iter().all(|h| h.kind != MarkKind::Block));
}

#[test]
fn a_line_of_rings_gets_blocks_in_plan_and_in_profile_both_ways() {
    let mut line = line(Joint::Ring);
    // sticks that do not follow a bend: each is an elbow
    line.reaches[0].pipe = find("ISO 1452 PN 10 110").unwrap();
    soil(&mut line, Soil::Gravel, None);
    line.geometry.bends = vec![
        bend(60.0, 40.0, 0.0),
        bend(120.0, 0.0, -15.0),
        bend(150.0, 0.0, 15.0),
        bend(180.0, -30.0, 10.0),
    ];
    let anchor = judged(&line);
    assert_eq!(anchor.blocks.len(), 5);
    assert!(anchor.pulls.is_empty());
    let kinds: Vec<_> = anchor.blocks.iter().map(|b| b.kinds[0]).collect();
    assert_eq!(kinds[0], BlockKind::Bearing);
    assert_eq!(kinds[1], BlockKind::Weight);
    assert!(anchor.blocks[2].kinds.contains(&BlockKind::Base));
    assert_eq!(anchor.pushes[0].towards[0], Towards::Right);
    assert_eq!(anchor.pushes[1].towards[0], Towards::Up);
    assert_eq!(anchor.pushes[2].towards[0], Towards::Down);
    assert!(anchor.pushes[3].towards.contains(&Towards::Left));
    for block in &anchor.blocks {
        let (a, b, c) = block.size_m;
        assert!((a * b * c - block.volume_m3).abs() < 1e-9, "{block:?}");
        assert!(
            block.volume_wet_m3 >= block.volume_m3 && block.sliding >= 1.49,
            "{block:?}"
        );
        assert!(block.refused.is_none(), "{block:?}");
    }
    // a combined bend is as large as its angle in space
    for (push, bend) in anchor.pushes.iter().zip(&line.geometry.bends) {
        let along = push.pressure_pa * line.reaches[0].pipe.outer_area_m2();
        let want = 2.0 * along * (0.5 * bend.angle_rad).sin();
        assert!((push.size_n / want - 1.0).abs() < 0.01, "{push:?}");
        assert!(push.high_n > push.size_n);
    }
    // the crew goes from the lower end up
    assert!(
        anchor
            .holds
            .windows(2)
            .all(|w| w[0].station_m >= w[1].station_m)
    );
    assert!(matches!(anchor.pushes[4].at, ThrustSource::End));
}

#[test]
fn soil_rules_the_block_and_names_its_table() {
    let area = |of: Soil, cover: Option<f64>| {
        let mut line = line(Joint::Ring);
        soil(&mut line, of, None);
        line.geometry.bends = vec![bend(60.0, 40.0, 0.0)];
        if let Some(cover) = cover {
            laid(&mut line, 0.0, 200.0, Bed::Buried);
            line.environment.laid[0].cover_m = Some(cover);
        }
        judged(&line).blocks[0].clone()
    };
    let shallow = area(Soil::Sand, Some(0.4));
    let deep = area(Soil::Sand, Some(1.5));
    assert_eq!(shallow.ground.unwrap().table, BearingTable::BuildingCode);
    assert_eq!(deep.ground.unwrap().table, BearingTable::PipeTrade);
    assert!(shallow.bearing_area_m2 > 4.0 * deep.bearing_area_m2);
    assert_eq!(area(Soil::Peat, None).refused, Some(NoBlock::BearsNothing));
    let mut unknown = line(Joint::Ring);
    unknown.geometry.bends = vec![bend(60.0, 40.0, 0.0)];
    assert_eq!(
        judged(&unknown).blocks[0].refused,
        Some(NoBlock::SoilUnknown)
    );
}

#[test]
fn anchors_hold_what_the_slope_does_not() {
    let mut line = line(Joint::Fused);
    // at 20 degrees 0.2 does not hold, 0.4 does
    let slides = judged(&line);
    assert_eq!(slides.slopes.len(), 1);
    let slope = &slides.slopes[0];
    let a = 20.0_f64.to_radians();
    let want = slope.full_n_per_m * (a.sin() - 0.2 * a.cos());
    assert!((slope.slides_full_n_per_m / want - 1.0).abs() < 1e-6);
    assert!((slope.pull_n / (want * 200.0) - 1.0).abs() < 1e-6);
    assert!(slope.slides_empty_n_per_m < slope.slides_full_n_per_m);
    assert!(slope.anchor_n * slope.anchors_m.len() as f64 >= 1.5 * slope.pull_n * 0.999);
    assert_eq!(slope.anchors_m[0], 0.0);
    // one that stands takes its part
    line.stands = vec![stand(MarkKind::Anchor, 0.0, Some(2.0 * 1.5 * slope.pull_n))];
    let held = judged(&line);
    assert!(held.slopes[0].anchors_m.is_empty());
    assert!((held.slopes[0].standing[0].1.unwrap() - 2.0).abs() < 1e-6);
    soil(&mut line, Soil::Gravel, Some(0.4));
    assert!(judged(&line).slopes.is_empty());
}

#[test]
fn rings_on_a_slope_take_the_handbooks_spacing() {
    let mut line = line(Joint::Ring);
    laid(&mut line, 0.0, 200.0, Bed::Buried);
    let slope = judged(&line).slopes.remove(0);
    // 36 %
    assert!((slope.handbook_spacing_m.unwrap() - 7.315).abs() < 0.01);
    assert_eq!(slope.anchors_m.len(), (200.0_f64 / 7.3152).ceil() as usize);
    assert_eq!(slope.pull_n, 0.0);
}

#[test]
fn a_flood_pulls_on_straps_and_tells_what_they_hold() {
    let mut line = line(Joint::Fused);
    let flood = |debris, speed_m_per_s| Flood {
        from_m: 100.0,
        to_m: 120.0,
        speed_m_per_s,
        depth_m: 0.8,
        debris,
    };
    line.environment.floods = vec![flood(Debris::None, 2.0)];
    let clear = judged(&line).floods.remove(0);
    assert!((clear.drag_n_per_m / 264.0 - 1.0).abs() < 2e-3);
    assert!(clear.lift_empty_n_per_m > 60.0 && clear.lift_full_n_per_m.abs() < 5.0);
    assert_eq!(clear.strap_n, 3_000.0);
    line.environment.floods = vec![flood(Debris::Heavy, 2.0)];
    let heavy = judged(&line);
    assert!(heavy.floods[0].drag_n_per_m > 5.0 * clear.drag_n_per_m);
    assert!(heavy.floods[0].strap_n > clear.strap_n);
    let straps = |a: &Anchor| {
        a.holds
            .iter()
            .filter(|h| h.why == HoldWhy::Flood && h.stands.is_none())
            .count()
    };
    let fields = (20.0 / heavy.floods[0].spacing_m).ceil() as usize;
    assert_eq!(straps(&heavy), fields);
    // straps of a known strength: the speed they hold out makes their pull just what they bear
    line.environment.floods = vec![flood(Debris::Light, 2.0)];
    line.stands = (0..10)
        .map(|i| stand(MarkKind::Strap, 101.0 + 2.0 * f64::from(i), Some(3_000.0)))
        .collect();
    let strapped = judged(&line);
    let speed = strapped.floods[0].holds_speed_m_per_s.unwrap();
    line.environment.floods[0].speed_m_per_s = speed;
    let worst = judged(&line).floods[0]
        .standing
        .iter()
        .map(|s| s.1.unwrap())
        .fold(f64::INFINITY, f64::min);
    assert!((worst - 1.0).abs() < 1e-6, "{worst} at {speed}");
    assert_eq!(straps(&strapped) == 0, speed >= 2.0);
}

#[test]
fn spans_and_heat_follow_the_bed() {
    let mut line = line(Joint::Fused);
    line.environment.situation.sun = true;
    line.environment.situation.hottest_air_c = 30.0;
    laid(&mut line, 50.0, 58.0, Bed::Span);
    laid(&mut line, 100.0, 150.0, Bed::Buried);
    let anchor = judged(&line);
    let span = &anchor.supports[0];
    assert_eq!(span.standing_span_m, Some(8.0));
    assert!(span.spacing_m < 2.5 && span.at_c > 50.0);
    assert_eq!(
        span.wanted_m.len(),
        (8.0 / span.spacing_m).ceil() as usize - 1
    );
    // 8 m of warm polyethylene hang like a rope: the beam formula says nothing of that
    assert!(span.sag_m.is_none() && span.stress_pa.is_none());
    let mut short = line.clone();
    short.environment.laid[0].to_m = 52.0;
    let span = judged(&short).supports.remove(0);
    let (is, may) = span.stress_pa.unwrap();
    assert!(is < may && span.sag_m.unwrap() > 0.0 && span.sag_m.unwrap() < 2.0 / 20.0);
    let buried = anchor.heat.iter().find(|h| h.from_m == 100.0).unwrap();
    let open = &anchor.heat[0];
    assert!(buried.guide_spacing_m.is_none() && open.guide_spacing_m.is_some());
    assert!(open.hot_c - open.cold_c > buried.hot_c - buried.cold_c + 20.0);
    assert!(open.held_cold_n.0 < open.held_cold_n.1);
    assert!(!open.loops_m.is_empty());
    assert!(open.pressure_shortens_m > 0.0);
}

#[test]
fn nothing_pressed_nothing_pushes() {
    let mut line = line(Joint::Ring);
    line.geometry.bends = vec![bend(60.0, 40.0, 0.0)];
    let none = Loads {
        largest_pa: vec![0.0; line.geometry.heights.station_m.len()],
        by: Vec::new(),
        parting: Vec::new(),
        test_pa: Vec::new(),
        standing_pa: vec![0.0; line.geometry.heights.station_m.len()],
        flow_m3_per_s: 0.0,
    };
    let anchor = judge(&line, &none);
    assert!(anchor.pushes.iter().all(|p| p.size_n < 1e-9));
    assert!(anchor.blocks.is_empty());
}

proptest! {
    #[test]
    fn turning_the_site_turns_the_forces(plan_deg in -80.0..80.0_f64, profile_deg in -30.0..19.0_f64, by in -180.0..180.0_f64) {
        let mut site = line(Joint::Ring);
        site.geometry.bends = vec![bend(100.0, plan_deg, profile_deg)];
        let mut turned = site.clone();
        let (sin, cos) = by.to_radians().sin_cos();
        for plan in turned.geometry.plan.iter_mut().flatten() {
            (plan.east_m, plan.north_m) = (
                plan.east_m * cos - plan.north_m * sin,
                plan.east_m * sin + plan.north_m * cos,
            );
        }
        let (a, b) = (judged(&site), judged(&turned));
        for (p, q) in a.pushes.iter().zip(&b.pushes) {
            let (f, g) = (p.compass.unwrap(), q.compass.unwrap());
            prop_assert!((f.x * cos - f.y * sin - g.x).abs() < 1e-6 * (1.0 + p.size_n));
            prop_assert!((f.x * sin + f.y * cos - g.y).abs() < 1e-6 * (1.0 + p.size_n));
            prop_assert!((f.z - g.z).abs() < 1e-9 * (1.0 + p.size_n));
            prop_assert_eq!(&p.towards, &q.towards);
        }
    }

    #[test]
    fn more_pressure_never_asks_for_less(plan_deg in 5.0..80.0_f64, profile_deg in -30.0..19.0_f64, more in 1.0..3.0_f64) {
        let mut site = line(Joint::Ring);
        soil(&mut site, Soil::Sand, None);
        site.geometry.bends = vec![bend(100.0, plan_deg, profile_deg)];
        let some = loads(&site);
        let lots = Loads { largest_pa: some.largest_pa.iter().map(|p| p * more).collect(), ..some.clone() };
        let (a, b) = (judge(&site, &some), judge(&site, &lots));
        let all = |a: &Anchor| a.blocks.iter().map(|b| b.volume_m3).sum::<f64>();
        prop_assert!(all(&b) >= all(&a) - 1e-9);
        prop_assert!(a.blocks.iter().all(|x| x.volume_m3 > 0.0 && x.volume_m3.is_finite()));
    }
}

/// A fitting of a kind on the line.
fn fitting(kind: FittingKind, station_m: f64, name: &str) -> Fitting {
    Fitting {
        station_m,
        kind,
        name: name.to_owned(),
        k: None,
        open: 1.0,
        angle_rad: (kind == FittingKind::Elbow).then_some(45.0_f64.to_radians()),
        in_plan: Some(true),
        bore_m: (kind == FittingKind::TeeBranch).then_some(0.05),
        rating_pa: None,
    }
}

#[test]
fn a_fitting_that_the_route_does_not_show_has_a_size_and_no_made_up_sense() {
    let mut line = line(Joint::Ring);
    soil(&mut line, Soil::Gravel, None);
    line.fittings = vec![
        fitting(FittingKind::Elbow, 60.0, "elbow"),
        fitting(FittingKind::TeeBranch, 100.0, "tee"),
    ];
    let anchor = judged(&line);
    let of = |name: &str| {
        let named = |at: &ThrustSource| matches!(at, ThrustSource::Elbow(n) | ThrustSource::Tee(n) if n == name);
        anchor.pushes.iter().find(|p| named(&p.at)).unwrap()
    };
    let (elbow, tee) = (of("elbow"), of("tee"));
    assert_eq!(
        (elbow.sense, tee.sense),
        (Sense::Outward, Sense::AwayFromBranch)
    );
    for push in [elbow, tee] {
        assert!(push.size_n > 0.0 && push.compass.is_none() && push.towards.is_empty());
    }
    // p A on the bore of the branch
    assert!(
        (tee.size_n / (tee.pressure_pa * std::f64::consts::FRAC_PI_4 * 0.0025) - 1.0).abs() < 1e-9
    );
    assert!(anchor.blocks.iter().all(|b| b.volume_m3 > 0.0));
}

#[test]
fn the_test_pushes_the_uppermost_valve_uphill_and_everything_else_as_pressure_does() {
    let mut line = line(Joint::Ring);
    line.fittings = vec![
        fitting(FittingKind::GateValve, 10.0, "head valve"),
        fitting(FittingKind::GateValve, 120.0, "line valve"),
    ];
    let some = loads(&line);
    let end_pa = 1.5 * some.standing_pa.last().unwrap();
    let over = end_pa - some.standing_pa.last().unwrap();
    let tested = Loads {
        test_pa: some.standing_pa.iter().map(|p| p + over).collect(),
        ..some
    };
    let anchor = judge(&line, &tested);
    let at = |name: &str| -> Vec<&Push> {
        anchor
            .pushes
            .iter()
            .filter(|p| matches!(&p.at, ThrustSource::Valve(n) if n == name))
            .collect()
    };
    let head = at("head valve");
    assert_eq!(head.len(), 2);
    assert_eq!(head[0].towards, [Towards::Downhill]);
    assert_eq!(head[1].towards, [Towards::Uphill]);
    assert_eq!(head[1].by, Some(Which::Test));
    assert!(head[1].size_n > head[0].size_n);
    assert_eq!(at("line valve").len(), 1);
    let end = anchor
        .pushes
        .iter()
        .find(|p| p.at == ThrustSource::End)
        .unwrap();
    assert!((end.pressure_pa / end_pa - 1.0).abs() < 1e-9 && end.by == Some(Which::Test));
}

#[test]
fn what_parts_is_named_and_loops_are_set_out_with_the_slack_they_give() {
    let mut line = line(Joint::Fused);
    line.environment.situation.sun = true;
    let mut some = loads(&line);
    let slam = Which::Movement {
        run: 0,
        often: Often::Rare,
        name: "valve slams".to_owned(),
    };
    some.by = vec![slam.clone(); some.largest_pa.len()];
    some.parting = vec![slam.clone()];
    let anchor = judge(&line, &some);
    assert_eq!(anchor.parting, [slam]);
    assert!(anchor.pushes.iter().all(|p| p.by_parts));
    let loops: Vec<_> = anchor
        .holds
        .iter()
        .filter(|h| h.kind == MarkKind::Loop)
        .collect();
    assert_eq!(loops.len(), 2);
    let slack: f64 = loops.iter().map(|h| h.slack_m.unwrap()).sum();
    assert!((slack - anchor.heat[0].moves_m).abs() < 1e-9);
    assert!(
        anchor
            .pulls
            .iter()
            .all(|p| p.slack == Slack::Loop && p.hold_n < p.tight_n)
    );
}

#[test]
fn an_anchor_holds_along_the_pipe_and_never_across_it() {
    let mut line = line(Joint::Ring);
    soil(&mut line, Soil::Gravel, Some(0.6));
    line.geometry.bends = vec![bend(60.0, 40.0, 0.0)];
    let strong = Some(1e6);
    line.stands = vec![
        stand(MarkKind::Anchor, 60.0, strong),
        stand(MarkKind::Anchor, 200.0, strong),
    ];
    let anchor = judged(&line);
    let hold = |station_m: f64| {
        anchor
            .holds
            .iter()
            .find(|h| h.why == HoldWhy::Thrust && (h.station_m - station_m).abs() < 0.1)
            .unwrap()
    };
    assert_eq!(hold(60.0).stands, None);
    assert_eq!(hold(200.0).stands, Some(1));
}

#[test]
fn a_grade_at_the_edge_of_the_handbook_is_one_reach() {
    // 20 % in every step but for a millimetre up or down
    let points: Vec<(f64, f64)> = (0..=40)
        .map(|i| {
            let s = 5.0 * f64::from(i);
            let off = if i % 2 == 0 { 0.001 } else { -0.001 };
            (s, 100.0 - s * 0.2_f64.atan().sin() + off)
        })
        .collect();
    let mut line = Line::plain(&points, &pe());
    line.reaches[0].joint = Joint::Ring;
    assert_eq!(judged(&line).slopes.len(), 1);
}

/// A line of steel with a bend in profile at 100 m.
fn steel_line(profile_deg: f64) -> Line {
    let mut line = line(Joint::Flange);
    line.reaches[0].pipe = find("steel Grade B schedule 40 NPS 8").unwrap();
    soil(&mut line, Soil::Gravel, None);
    line.geometry.bends = vec![bend(100.0, 0.0, profile_deg)];
    line
}

#[test]
fn steel_above_the_ground_gets_a_block_that_stands_warming_and_cooling() {
    let anchor = judged(&steel_line(-10.0));
    let s = &anchor.steel[0];
    // 100 m of straight steel is held each 25 m, and its joint stands a metre below the hold above
    assert!((s.station_m - s.joint_m - 24.0).abs() < 1e-9);
    let both_ways = s.warming.force_n.x - s.cooling.force_n.x;
    let slope = 20.0_f64.to_radians();
    let friction = 2.0 * (s.pier_friction_n + s.joint_friction_n) * slope.cos();
    assert!((both_ways / friction - 1.0).abs() < 1e-6, "{s:?}");
    for case in [s.warming, s.cooling] {
        assert!(case.stands.sliding >= 1.5 && case.stands.overturning >= 1.5);
        assert!(case.stands.largest_pa.is_some());
    }
    assert!(s.refused.is_none());
    // restrained by its flanges: no thrust block, but what parts it is told
    assert!(anchor.blocks.is_empty());
    // in the ground it is held by it
    let mut buried = steel_line(-10.0);
    laid(&mut buried, 0.0, 200.0, Bed::Buried);
    assert!(judged(&buried).steel.is_empty());
    // plastic has its own way
    assert!(judged(&line(Joint::Fused)).steel.is_empty());
    // a turn in plan as well is more than the list of forces knows
    let mut turned = steel_line(-10.0);
    turned.geometry.bends[0].plan_rad = 0.4;
    assert_eq!(judged(&turned).steel[0].refused, Some(NoBlock::TwoPlanes));
    let mut peat = steel_line(-10.0);
    soil(&mut peat, Soil::Peat, None);
    assert_eq!(judged(&peat).steel[0].refused, Some(NoBlock::BearsNothing));
}

#[test]
fn steel_is_parted_by_a_joint_at_its_ends_and_never_bowed() {
    let anchor = judged(&steel_line(-10.0));
    assert!(anchor.heat.iter().all(|h| h.loops_m.is_empty()));
    for pull in &anchor.pulls {
        assert_eq!(pull.slack, Slack::Joint);
        // held tight between summer and winter it would pull many times as hard
        assert!(pull.hold_n < 0.3 * pull.tight_n, "{pull:?}");
        assert!(pull.hold_n > pull.by_pressure_n);
    }
}

#[test]
fn one_anchor_serves_an_end_and_the_slope_beside_it() {
    let anchor = judged(&line(Joint::Fused));
    let (slope, pull) = (&anchor.slopes[0], &anchor.pulls[0]);
    assert_eq!((slope.anchors_m[0], pull.station_m), (0.0, 0.0));
    let there: Vec<_> = anchor
        .holds
        .iter()
        .filter(|h| h.kind == MarkKind::Anchor && h.station_m < 1.0)
        .collect();
    assert_eq!(there.len(), 1);
    assert!((there[0].force_n / (slope.anchor_n + pull.hold_n) - 1.0).abs() < 1e-9);
}

#[test]
fn an_uphill_push_on_a_slope_bears_on_ground_and_its_block_is_heavy_enough_not_to_lift() {
    let mut line = line(Joint::Ring);
    soil(&mut line, Soil::Gravel, None);
    line.fittings = vec![fitting(FittingKind::GateValve, 10.0, "head valve")];
    let some = loads(&line);
    let tested = Loads {
        test_pa: some.standing_pa.iter().map(|p| p + 4e5).collect(),
        ..some
    };
    let anchor = judge(&line, &tested);
    let uphill = anchor
        .pushes
        .iter()
        .position(|p| p.towards == [Towards::Uphill])
        .unwrap();
    let block = anchor.blocks.iter().find(|b| b.push == uphill).unwrap();
    assert!(block.kinds.contains(&BlockKind::Bearing));
    let lift = anchor.pushes[uphill].force.z;
    assert!(lift > 0.0 && block.volume_m3 * 22_000.0 >= 1.5 * lift);
}
