//! Whole-program tests: flow.

use proptest::prelude::*;
use steadyfall::flow::{self, Conditions, LimitedBy, LossSource, Remedy, Run, WhyNot};
use steadyfall::line::{
    Appurtenance, CaseWish, Discharge, Fitting, Jet, Line, Outlet, Running, Stream, Tap,
};
use steadyfall::pipe::{Device, FittingKind, MarkKind, Pipe, RunState, WorkingState};

fn pipe(bore_m: f64, roughness_m: f64) -> Pipe {
    let mut pipe = steadyfall::pipe::find("PE100 SDR11 90").unwrap();
    pipe.inner_diameter_m = bore_m;
    pipe.roughness_m = roughness_m;
    pipe.roughness_old_m = roughness_m;
    pipe
}

fn jets(line: &mut Line, count: usize, diameter_m: f64) {
    let jet = |i: usize| Jet {
        name: format!("{}", i + 1),
        nozzle_diameter_m: diameter_m,
        open: 1.0,
        discharge_coefficient: 0.95,
        velocity_coefficient: 0.97,
    };
    line.outlet = Some(Outlet {
        how: Discharge::Jets((0..count).map(jet).collect()),
        nozzle_height_m: 0.0,
        water_to_wire: None,
    });
}

fn wish(running: Running) -> CaseWish {
    CaseWish::usual(RunState::Case("try".to_owned()), running)
}

fn all(line: &Line) -> Run {
    let flow::Cases { runs, not_run, .. } = flow::cases(line);
    assert!(not_run.is_empty(), "{not_run:?}");
    runs.into_iter()
        .find(|r| *r.state() == RunState::AllJets)
        .expect("jets are given")
}

/// Points every few metres between given corners.
fn finely(corners: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut out = vec![corners[0]];
    for pair in corners.windows(2) {
        let ((s0, z0), (s1, z1)) = (pair[0], pair[1]);
        let n = ((s1 - s0) / 2.5).ceil();
        for k in 1..=n as usize {
            let t = k as f64 / n;
            out.push((s0 + (s1 - s0) * t, z0 + (z1 - z0) * t));
        }
    }
    out
}

fn vent(station_m: f64) -> Appurtenance {
    Appurtenance {
        kind: MarkKind::Vent,
        station_m,
        device: Some(Device::Standpipe),
        bore_m: Some(0.02),
        top_m: Some(1.0),
        cock_open: true,
        state: WorkingState::Works,
        strength_n: None,
        opens_at_pa: None,
        slack_m: None,
        name: "vent".to_owned(),
    }
}

fn assert_adds_up(run: &Run) {
    let listed: f64 = run.losses.items.iter().map(|l| l.head_m).sum();
    let gone = run.gross_head_m - run.net_head_m;
    assert!(
        (gone - run.losses.total_m()).abs() <= 1e-6 * run.gross_head_m.abs(),
        "{}: gross less net {gone}, listed {}",
        run.state(),
        run.losses.total_m()
    );
    assert!((listed - run.losses.total_m()).abs() <= 1e-9 * run.gross_head_m.abs());
}

#[test]
fn states_stand_in_order_and_shut_is_still() {
    let mut line = Line::plain(&[(0.0, 60.0), (400.0, 0.0)], &pipe(0.09, 1e-5));
    jets(&mut line, 3, 0.01);
    let runs = flow::cases(&line).runs;
    let names: Vec<String> = runs.iter().map(|r| r.state().to_string()).collect();
    assert_eq!(names, ["shut", "1 jet", "2 jets", "all jets"]);
    assert_eq!(runs[0].net_head_m, 60.0);
    assert_eq!(runs[0].flow_m3_per_s, 0.0);
    let weight = runs[0].water.density_kg_per_m3 * line.environment.situation.gravity_m_per_s2;
    assert!((runs[0].pressure_turbine_pa - 60.0 * weight).abs() < 1e-6);
    for run in &runs {
        assert_adds_up(run);
    }
}

#[test]
fn before_a_vented_crest_above_the_still_water_the_pipe_is_empty() {
    // found by a random case: the pipe rises from the mouth to a crest 0.65 m above the still water
    let mut line = Line::plain(
        &finely(&[(0.0, 15.0), (14.0, 15.65), (100.0, -14.0)]),
        &pipe(0.1, 1e-6),
    );
    line.intake.level_m = 15.0;
    jets(&mut line, 1, 0.01);
    line.wishes.limits.suction_m = Some(0.0);
    line.stands.push(vent(10.0));
    for run in flow::cases(&line).runs {
        for p in run.points.iter().filter(|p| p.station_m < 10.0) {
            assert!(p.pressure_pa.min(p.pressure_below_pa) >= -1e-6, "{p:?}");
        }
    }
}

#[test]
fn a_vented_crest_above_the_grade_line_governs() {
    // intake 100 m, crest 98.8 m at 150 m, end 85 m at 500 m, a wide outlet
    let corners = [(0.0, 99.0), (75.0, 97.0), (150.0, 98.8), (500.0, 85.0)];
    let mut line = Line::plain(&finely(&corners), &pipe(0.1, 1.5e-6));
    line.intake.level_m = 100.0;
    jets(&mut line, 4, 0.03);
    let free = all(&line);
    assert!(free.limited.is_none(), "{:?}", free.limited);
    line.stands.push(vent(150.0));
    let held = all(&line);
    let limited = held.limited.clone().unwrap();
    assert_eq!(limited.by, LimitedBy::Crest);
    assert!((limited.station_m - 150.0).abs() < 1e-9 && limited.vented);
    assert!(held.flow_m3_per_s < 0.7 * free.flow_m3_per_s);
    assert!(held.losses.fall_m > 1.0);
    assert_adds_up(&held);
    let at_best = limited.at_best.unwrap();
    assert!((at_best.flow_m3_per_s - free.flow_m3_per_s).abs() < 1e-9);
    assert!(limited.remedies.contains(&Remedy::ShutVent));
    // throttled as advised, the line runs full, and with more power
    let Some(Remedy::Throttle {
        flow_m3_per_s,
        net_head_m,
        water_power_w,
        area_share,
    }) = limited
        .remedies
        .iter()
        .copied()
        .find(|r| matches!(r, Remedy::Throttle { .. }))
    else {
        panic!("no throttle: {:?}", limited.remedies);
    };
    assert!((flow_m3_per_s - held.flow_m3_per_s).abs() < 1e-9);
    assert!(water_power_w > held.water_power_w);
    jets(&mut line, 4, 0.03 * area_share.sqrt() * 0.999_99);
    let throttled = all(&line);
    assert!(throttled.limited.is_none());
    assert!((throttled.net_head_m - net_head_m).abs() < 0.01);
}

#[test]
fn the_other_remedies_hold_when_they_are_done() {
    let corners = [(0.0, 99.0), (75.0, 97.0), (150.0, 98.8), (500.0, 85.0)];
    let mut line = Line::plain(&finely(&corners), &pipe(0.1, 1.5e-6));
    line.intake.level_m = 100.0;
    jets(&mut line, 4, 0.03);
    line.stands.push(vent(150.0));
    let limited = all(&line).limited.unwrap();
    let bore = limited.remedies.iter().find_map(|r| match r {
        Remedy::LargerUpperPipe { bore_m } => Some(*bore_m),
        _ => None,
    });
    let lower = limited.remedies.iter().find_map(|r| match r {
        Remedy::LowerCrest { by_m } => Some(*by_m),
        _ => None,
    });
    let mut wider = line.clone();
    let mut upper = wider.reaches[0].clone();
    upper.to_m = 152.5;
    upper.pipe.inner_diameter_m = bore.unwrap() + 0.0005;
    wider.reaches[0].from_m = 152.5;
    wider.reaches.insert(0, upper);
    assert!(all(&wider).limited.is_none(), "{:?}", all(&wider).limited);
    let mut cut = line;
    for (s, z) in cut
        .geometry
        .heights
        .station_m
        .iter()
        .zip(&mut cut.geometry.heights.mean_m)
    {
        // lowered at the crest, less and less to both sides
        let share = (1.0 - (s - 150.0).abs() / 70.0).max(0.0);
        *z -= (lower.unwrap() + 0.05) * share;
    }
    let run = all(&cut);
    let at_crest = run.points.iter().find(|p| p.station_m == 150.0).unwrap();
    assert!(at_crest.pressure_pa >= 0.0, "{at_crest:?}");
}

#[test]
fn what_physics_forbids_is_not_printed() {
    let corners = [(0.0, 99.5), (150.0, 97.0), (300.0, 98.0), (500.0, 60.0)];
    let mut line = Line::plain(&finely(&corners), &pipe(0.1, 1.5e-6));
    line.intake.level_m = 100.0;
    jets(&mut line, 4, 0.05);
    let run = all(&line);
    let limited = run.limited.clone().unwrap();
    assert_eq!(limited.by, LimitedBy::Boiling);
    assert_eq!(limited.at_best, None);
    assert!((limited.station_m - 300.0).abs() < 1e-9);
    for p in &run.points {
        assert!(p.pressure_pa >= limited.working_limit_m * 9_900.0, "{p:?}");
    }
    assert_adds_up(&run);
}

#[test]
fn a_poor_stream_leaves_the_pipe_part_full() {
    let mut line = Line::plain(&finely(&[(0.0, 60.0), (400.0, 0.0)]), &pipe(0.09, 1e-5));
    jets(&mut line, 2, 0.012);
    let rich = all(&line);
    line.environment.stream = Some(Stream {
        flow_m3_per_s: vec![6e-3],
        leave_m3_per_s: 1e-3,
    });
    let poor = all(&line);
    let limited = poor.limited.clone().unwrap();
    assert_eq!(limited.by, LimitedBy::Stream);
    assert!((poor.flow_m3_per_s - 5e-3).abs() < 1e-12);
    // the jets pass the flow at the head they need for it
    let share = (poor.flow_m3_per_s / rich.flow_m3_per_s).powi(2);
    assert!((poor.net_head_m / rich.net_head_m - share).abs() < 1e-6);
    assert!(poor.losses.fall_m > 20.0 && limited.full_again_m > 100.0);
    assert_adds_up(&poor);
}

#[test]
fn over_a_deep_mouth_a_poor_stream_lowers_the_water_at_the_intake() {
    let mut line = Line::plain(&finely(&[(0.0, 30.0), (400.0, 0.0)]), &pipe(0.09, 1e-5));
    jets(&mut line, 2, 0.012);
    line.intake.level_m = 60.0;
    line.environment.stream = Some(Stream {
        flow_m3_per_s: vec![6e-3],
        leave_m3_per_s: 0.0,
    });
    let run = all(&line);
    assert_eq!(run.limited.as_ref().unwrap().by, LimitedBy::Stream);
    assert!(
        run.points
            .iter()
            .all(|p| !p.part_full && p.pressure_pa > 0.0)
    );
    assert!(run.losses.fall_m > 10.0);
    assert_adds_up(&run);
}

#[test]
fn water_hangs_behind_a_lower_crest() {
    // a second, lower crest below the governing one: water pools before it, so there are two falls
    let corners = [
        (0.0, 99.0),
        (50.0, 98.5),
        (100.0, 99.2),
        (160.0, 80.0),
        (200.0, 85.0),
        (300.0, 20.0),
    ];
    let mut line = Line::plain(&finely(&corners), &pipe(0.1, 1.5e-6));
    line.intake.level_m = 100.0;
    jets(&mut line, 2, 0.04);
    line.stands.push(vent(100.0));
    line.stands.push(vent(200.0));
    let run = all(&line);
    let falls: Vec<f64> = run
        .losses
        .items
        .iter()
        .filter(|l| l.by == LossSource::Fall)
        .map(|l| l.from_m)
        .collect();
    assert_eq!(falls, [100.0, 200.0]);
    let low = run.points.iter().find(|p| p.station_m == 160.0).unwrap();
    assert!(!low.part_full && low.pressure_pa > 45_000.0, "{low:?}");
    assert_adds_up(&run);
}

#[test]
fn refused_where_nothing_can_flow() {
    let mut line = Line::plain(&[(0.0, 60.0), (400.0, 0.0)], &pipe(0.09, 1e-5));
    let not = |line: &Line, running| flow::run(line, &wish(running)).unwrap_err().why;
    assert_eq!(not(&line, Running::Jets(vec![0])), WhyNot::NoJets);
    assert!(matches!(
        not(&line, Running::Flow(0.5)),
        WhyNot::TooMuch { most_m3_per_s, .. } if most_m3_per_s > 0.01 && most_m3_per_s < 0.1
    ));
    jets(&mut line, 1, 0.01);
    line.fittings
        .push(fitting(FittingKind::GateValve, 10.0, 0.0));
    assert_eq!(
        not(&line, Running::Jets(vec![0])),
        WhyNot::ValveShut { fitting: 0 }
    );
    line.fittings[0] = fitting(FittingKind::Meter, 10.0, 1.0);
    assert_eq!(
        not(&line, Running::Jets(vec![0])),
        WhyNot::NoCoefficient { fitting: 0 }
    );
    line.fittings.clear();
    line.intake.level_m = -1.0;
    assert!(matches!(
        not(&line, Running::Jets(vec![0])),
        WhyNot::NoHead { .. }
    ));
}

fn fitting(kind: FittingKind, station_m: f64, open: f64) -> Fitting {
    Fitting {
        station_m,
        kind,
        name: "it".to_owned(),
        k: None,
        open,
        angle_rad: None,
        in_plan: None,
        bore_m: None,
        rating_pa: None,
    }
}

#[test]
fn a_coefficient_stands_on_the_bore_at_its_station() {
    let mut line = Line::plain(
        &[(0.0, 60.0), (200.0, 30.0), (400.0, 0.0)],
        &pipe(0.1, 1e-5),
    );
    let mut lower = line.reaches[0].clone();
    line.reaches[0].to_m = 200.0;
    lower.from_m = 200.0;
    lower.pipe.inner_diameter_m = 0.05;
    line.reaches.push(lower);
    jets(&mut line, 1, 0.015);
    let mut loss_at = |s: f64| {
        line.fittings = vec![Fitting {
            k: Some(2.0),
            ..fitting(FittingKind::Other, s, 1.0)
        }];
        let run = all(&line);
        let item = run
            .losses
            .items
            .iter()
            .find(|l| l.by == LossSource::Fitting(0))
            .unwrap()
            .clone();
        let v = run.velocity_m_per_s(s);
        assert!((item.head_m - 2.0 * v * v / 2.0 / 9.806_65).abs() < 1e-9);
        item.head_m
    };
    assert!(loss_at(300.0) > 12.0 * loss_at(100.0));
}

#[test]
fn taps_carry_more_above_than_below() {
    let mut line = Line::plain(&finely(&[(0.0, 60.0), (400.0, 0.0)]), &pipe(0.09, 1e-5));
    jets(&mut line, 2, 0.012);
    let without = all(&line);
    line.taps.push(Tap {
        station_m: 200.0,
        flow_m3_per_s: 1e-3,
    });
    let with = all(&line);
    assert!(with.net_head_m < without.net_head_m);
    assert_eq!(with.stretches.len(), 2);
    assert!(
        (with.stretches[0].flow_m3_per_s - with.stretches[1].flow_m3_per_s - 1e-3).abs() < 1e-12
    );
    assert_adds_up(&with);
}

#[test]
fn doubts_are_made_of_their_causes() {
    let mut line = Line::plain(&[(0.0, 60.0), (400.0, 0.0)], &pipe(0.09, 1e-5));
    jets(&mut line, 2, 0.012);
    line.geometry.heights.drop_sd_m = 1.5;
    line.reaches[0].pipe.roughness_old_m = 1e-4;
    line.outlet.as_mut().unwrap().water_to_wire = Some(0.5);
    let run = all(&line);
    assert_eq!(run.gross_head_sd_m, 1.5);
    assert_eq!(run.doubts.len(), 4);
    let sum: f64 = run.doubts.iter().map(|d| d.flow_m3_per_s.powi(2)).sum();
    assert!((sum.sqrt() - run.flow_sd_m3_per_s).abs() < 1e-15);
    let slimed = run.aged.unwrap();
    assert!(slimed.flow_m3_per_s < run.flow_m3_per_s);
    let e = run.electrical.unwrap();
    assert!(e.low_w < e.power_w && e.power_w < e.high_w);
    assert!((e.power_w - 0.5 * run.water_power_w).abs() < 1e-9);
}

#[test]
fn standing_air_takes_its_own_line() {
    let mut line = Line::plain(&finely(&[(0.0, 60.0), (400.0, 0.0)]), &pipe(0.09, 1e-5));
    jets(&mut line, 2, 0.012);
    let mut conditions = Conditions::usual(&line.environment);
    conditions.standing_air.push(flow::StandingAir {
        station_m: 100.0,
        head_m: 3.0,
    });
    let run = flow::run_under(&line, &wish(Running::Jets(vec![0, 1])), &conditions).unwrap();
    assert_eq!(run.losses.air_m, 3.0);
    assert_adds_up(&run);
}

/// Every figure of a run.
fn figures(run: &Run) -> Vec<f64> {
    let mut out = vec![
        run.flow_m3_per_s,
        run.flow_sd_m3_per_s,
        run.net_head_m,
        run.net_head_sd_m,
        run.velocity_max_m_per_s,
        run.pressure_turbine_pa,
        run.pressure_turbine_sd_pa,
        run.water_power_w,
        run.water_power_sd_w,
    ];
    out.extend(run.losses.items.iter().map(|l| l.head_m));
    out.extend(run.points.iter().flat_map(|p| {
        [
            p.grade_line_m,
            p.grade_line_below_m,
            p.energy_line_m,
            p.pressure_pa,
            p.pressure_below_pa,
        ]
    }));
    if let Some(limited) = &run.limited {
        out.extend([limited.station_m, limited.full_again_m]);
        out.extend(limited.suction_m);
    }
    out
}

#[test]
fn odd_lines_give_a_reason_and_not_a_panic() {
    let one = pipe(0.09, 1e-5);
    let mut empty = Line::plain(&[], &one);
    jets(&mut empty, 2, 0.01);
    let mut point = Line::plain(&[(0.0, 5.0)], &one);
    jets(&mut point, 2, 0.01);
    let mut bare = Line::plain(&[(0.0, 60.0), (400.0, 0.0)], &one);
    bare.reaches.clear();
    jets(&mut bare, 2, 0.01);
    let mut none = Line::plain(&[(0.0, 60.0), (400.0, 0.0)], &pipe(0.0, 1e-5));
    jets(&mut none, 2, 0.01);
    for line in [empty, point, bare, none] {
        let found = flow::cases(&line);
        assert!(!found.not_run.is_empty());
        for run in &found.runs {
            assert!(figures(run).iter().all(|f| f.is_finite()), "{run:?}");
        }
        assert!(flow::largest_power(&line).is_err());
        let _ = flow::intake(&line, &found.runs);
        let _ = flow::stream(&line);
    }
}

prop_compose! {
    fn a_line()(
        bores in prop::collection::vec(0.05..0.2_f64, 1..4),
        head in 15.0..200.0_f64,
        length in 100.0..1500.0_f64,
        count in 1..6_usize,
        nozzle in 0.005..0.02_f64,
        rough in 1e-6..1e-4_f64,
        bumps in prop::collection::vec(-3.0..3.0_f64, 6),
    ) -> (Line, usize, f64) {
        let corners: Vec<(f64, f64)> = std::iter::once((0.0, head))
            .chain(bumps.iter().enumerate().map(|(i, b)| {
                let t = (i + 1) as f64 / 7.0;
                (length * t, head * (1.0 - t) + b)
            }))
            .chain(std::iter::once((length, 0.0)))
            .collect();
        let mut line = Line::plain(&finely(&corners), &pipe(bores[0], rough));
        let proto = line.reaches[0].clone();
        let each = length / bores.len() as f64;
        *line.reaches = bores
            .iter()
            .enumerate()
            .map(|(i, &bore)| {
                let mut r = proto.clone();
                r.from_m = each * i as f64;
                r.to_m = if i + 1 == bores.len() { length } else { each * (i + 1) as f64 };
                r.pipe.inner_diameter_m = bore;
                r
            })
            .collect();
        jets(&mut line, count, nozzle);
        (line, count, nozzle)
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn gross_less_net_is_what_is_listed((line, ..) in a_line(), at_vent in 0.1..0.9_f64) {
        let mut line = line;
        line.stands.push(vent((line.geometry.length_m() * at_vent / 2.5).round() * 2.5));
        for run in flow::cases(&line).runs {
            assert_adds_up(&run);
        }
    }

    #[test]
    fn a_larger_bore_never_lowers_the_net_head((line, count, _) in a_line(), more in 1.0..1.5_f64) {
        let mut line = line;
        // friction alone
        line.intake.entrance_k = Some(0.0);
        let head = |line: &Line| {
            let conditions = Conditions::usual(&line.environment);
            flow::run_under(line, &wish(Running::Jets((0..count).collect())), &conditions).unwrap()
        };
        let before = head(&line);
        if before.limited.is_some() { return Ok(()); }
        for r in line.reaches.iter_mut() {
            r.pipe.inner_diameter_m *= more;
        }
        prop_assert!(head(&line).net_head_m >= before.net_head_m - 1e-9);
    }

    #[test]
    fn more_jets_never_raise_the_net_head((line, ..) in a_line()) {
        let runs = flow::cases(&line).runs;
        for pair in runs.windows(2) {
            prop_assert!(pair[1].net_head_m <= pair[0].net_head_m + 1e-9, "{} {}", pair[0].state(), pair[1].state());
        }
    }

    #[test]
    fn the_order_of_pipes_does_not_change_friction((line, ..) in a_line()) {
        let mut turned = line.clone();
        let length = line.geometry.length_m();
        turned.reaches.reverse();
        for r in turned.reaches.iter_mut() {
            (r.from_m, r.to_m) = (length - r.to_m, length - r.from_m);
        }
        let q = 1e-3;
        let at = |line: &Line| flow::run_under(line, &wish(Running::Flow(q)), &Conditions::usual(&line.environment)).map(|r| (r.losses.friction_m, r.limited.is_some()));
        if let (Ok((a, false)), Ok((b, false))) = (at(&line), at(&turned)) {
            prop_assert!((a - b).abs() < 1e-9 * a.max(1.0));
        }
    }

    #[test]
    fn shifting_all_heights_changes_nothing((line, ..) in a_line(), by in -500.0..3000.0_f64) {
        let mut high = line.clone();
        for z in &mut high.geometry.heights.mean_m { *z += by; }
        for d in &mut high.geometry.heights.draws { for z in d { *z += by; } }
        high.intake.level_m += by;
        high.intake.low_level_m += by;
        high.intake.flood_level_m += by;
        let (a, b) = (flow::cases(&line).runs, flow::cases(&high).runs);
        for (a, b) in a.iter().zip(&b) {
            prop_assert!((a.flow_m3_per_s - b.flow_m3_per_s).abs() < 1e-7 * a.flow_m3_per_s.max(1e-3));
            prop_assert!((a.net_head_m - b.net_head_m).abs() < 1e-5);
            prop_assert_eq!(a.limited.as_ref().map(|l| l.by), b.limited.as_ref().map(|l| l.by));
        }
    }

    #[test]
    fn every_figure_is_a_number(
        (line, ..) in a_line(),
        level in -20.0..40.0_f64,
        vents in prop::collection::vec(0.0..1.2_f64, 0..4),
        tap in prop::option::of((0.0..1.2_f64, 0.0..0.02_f64)),
        valve in prop::option::of((0.0..1.0_f64, 0.0..1.2_f64)),
        stream in prop::option::of(0.0..0.02_f64),
        asked in 0.0..0.1_f64,
        blocked in 0.0..1.2_f64,
    ) {
        let mut line = line;
        let length = line.geometry.length_m();
        line.intake.level_m += level;
        line.stands.extend(vents.iter().map(|v| vent(v * length)));
        line.taps.extend(tap.map(|(at, flow_m3_per_s)| Tap { station_m: at * length, flow_m3_per_s }));
        line.fittings.extend(valve.map(|(at, open)| fitting(FittingKind::BallValve, at * length, open)));
        line.environment.stream = stream.map(|s| Stream { flow_m3_per_s: vec![s], leave_m3_per_s: 1e-3 });
        line.wishes.cases.push(wish(Running::Flow(asked)));
        line.wishes.cases.push(CaseWish { screen_blocked: blocked, ..wish(Running::Jets(vec![0])) });
        let found = flow::cases(&line);
        prop_assert!(!found.runs.is_empty());
        for run in &found.runs {
            prop_assert!(figures(run).iter().all(|f| f.is_finite()), "{:?}", run);
            assert_adds_up(run);
            prop_assert!(run.flow_m3_per_s >= 0.0);
        }
        flow::stream(&line);
        let _ = flow::largest_power(&line);
    }

    #[test]
    fn no_pressure_below_what_may_hang((line, ..) in a_line(), at_vent in 0.1..0.9_f64, rough in 0.0..0.9_f64) {
        let mut line = line;
        line.stands.push(vent((line.geometry.length_m() * at_vent / 2.5).round() * 2.5));
        line.wishes.limits.suction_m = Some(rough * 5.0);
        for run in flow::cases(&line).runs {
            for p in &run.points {
                let head = p.pressure_pa.min(p.pressure_below_pa) / (run.water.density_kg_per_m3 * line.environment.situation.gravity_m_per_s2);
                prop_assert!(head >= -rough * 5.0 - 1e-6, "{} {:?}", run.state(), p);
            }
        }
    }
}

mod gauges {
    use super::*;
    use steadyfall::flow::{GaugeCause, NextReading};
    use steadyfall::line::Gauge;

    fn gauge(line: &Line, state: &str, flow: Option<f64>, off_m: f64) -> Gauge {
        let weight = 999.702_5 * line.environment.situation.gravity_m_per_s2;
        let mut out = Gauge {
            station_m: line.geometry.length_m(),
            height_m: 1.0,
            state: RunState::named(state, &RunState::of_jets(4)),
            pressure_pa: 0.0,
            pressure_sd_pa: 0.2 * weight,
            flow_m3_per_s: flow,
            flow_sd_m3_per_s: flow.map(|f| 0.01 * f),
        };
        let mut probe = line.clone();
        probe.measured.gauges = vec![out.clone()];
        let found = flow::gauges(&probe, &[]).unwrap();
        out.pressure_pa = found.readings[0].expected_pa + off_m * weight;
        out
    }

    fn line() -> Line {
        let mut line = Line::plain(&finely(&[(0.0, 60.0), (400.0, 0.0)]), &pipe(0.07, 1e-5));
        jets(&mut line, 3, 0.012);
        line.geometry.heights.drop_sd_m = 0.4;
        line
    }

    #[test]
    fn readings_that_agree_need_no_cause() {
        let mut line = line();
        line.measured.gauges = vec![
            gauge(&line, "shut", None, 0.3),
            gauge(&line, "all jets", Some(5e-3), -0.3),
        ];
        let found = flow::gauges(&line, &[]).unwrap();
        assert!(found.agree() && found.explanations.is_empty());
        assert_eq!(found.next, None);
    }

    #[test]
    fn one_reading_names_no_cause() {
        let mut line = line();
        line.measured.gauges = vec![gauge(&line, "shut", None, -6.0)];
        let found = flow::gauges(&line, &[]).unwrap();
        assert!(!found.ranked && !found.agree());
        assert!(found.explanations.len() >= 2);
        assert!(found.explanations.iter().all(|e| e.alike == 0));
        assert_eq!(found.next, Some(NextReading::SecondGauge));
        line.measured.gauges = vec![gauge(&line, "all jets", Some(5e-3), -6.0)];
        let found = flow::gauges(&line, &[]).unwrap();
        assert!(!found.ranked);
        assert_eq!(found.next, Some(NextReading::ShutAtTurbine));
    }

    #[test]
    fn several_readings_part_a_rough_pipe_from_a_wrong_drop() {
        let mut line = line();
        let loss = |q: f64| {
            let run = flow::run(&line, &wish(Running::Flow(q))).unwrap();
            run.losses.total_m()
        };
        let readings = [
            ("shut", None),
            ("all jets", Some(6e-3)),
            ("all jets", Some(5e-3)),
            ("1 jet", Some(2.5e-3)),
        ];
        let rough = readings
            .iter()
            .map(|(s, q)| gauge(&line, s, *q, -0.5 * q.map_or(0.0, loss)))
            .collect();
        line.measured.gauges = rough;
        let found = flow::gauges(&line, &[]).unwrap();
        assert!(found.ranked, "{found:#?}");
        let best = &found.explanations[0];
        assert!(matches!(
            best.cause,
            GaugeCause::Friction | GaugeCause::Obstruction
        ));
        assert!(best.fit > 0.8);
        let drop = found
            .explanations
            .iter()
            .find(|e| e.cause == GaugeCause::Drop)
            .unwrap();
        assert!(drop.fit < 0.3, "{drop:?}");
        // the loss as the gauge has it is half as much again
        let r = &found.readings[1];
        assert!((r.loss_m / r.loss_expected_m - 1.5).abs() < 0.02, "{r:?}");
    }

    #[test]
    fn air_below_a_climb_may_be_what_a_shut_gauge_lacks() {
        let corners = [(0.0, 60.0), (150.0, 40.0), (180.0, 42.5), (400.0, 0.0)];
        let mut line = Line::plain(&finely(&corners), &pipe(0.07, 1e-5));
        jets(&mut line, 3, 0.012);
        line.geometry.heights.drop_sd_m = 0.4;
        let climbs = [flow::AirLeg {
            crest_m: 180.0,
            filled_m: 2.5,
            full_m: 2.5,
        }];
        line.measured.gauges = vec![gauge(&line, "shut", None, -2.0)];
        let found = flow::gauges(&line, &climbs).unwrap();
        let air = found
            .explanations
            .iter()
            .find(|e| e.cause == GaugeCause::StandingAir)
            .unwrap();
        assert!((air.head_m - 2.0).abs() < 0.01 && air.fit > 0.9, "{air:?}");
        assert!((air.crests_m[0] - 180.0).abs() < 3.0);
        assert!(!found.ranked);
        assert!(matches!(
            found.next,
            Some(NextReading::AfterBleeding { .. })
        ));
        // more than the climb can hold is not air
        line.measured.gauges = vec![gauge(&line, "shut", None, -9.0)];
        let found = flow::gauges(&line, &climbs).unwrap();
        let air = found
            .explanations
            .iter()
            .find(|e| e.cause == GaugeCause::StandingAir)
            .unwrap();
        assert!(air.fit < 0.01, "{air:?}");
    }

    #[test]
    fn a_gauge_in_a_state_that_does_not_run_full_is_set_aside() {
        let mut line = line();
        line.measured.gauges = vec![Gauge {
            state: RunState::Case("no such".to_owned()),
            ..gauge(&line, "shut", None, 0.0)
        }];
        let found = flow::gauges(&line, &[]).unwrap();
        assert_eq!(found.unused, [(0, flow::Unused::NoSuchState)]);
    }
}

#[test]
fn the_stream_feeds_fewer_jets_in_the_dry_months() {
    let mut line = Line::plain(&finely(&[(0.0, 60.0), (400.0, 0.0)]), &pipe(0.09, 1e-5));
    jets(&mut line, 3, 0.01);
    let one = flow::cases(&line)
        .of(&RunState::Jets(1))
        .unwrap()
        .flow_m3_per_s;
    let mut months = vec![0.03; 12];
    months[7] = one + 1.5e-3;
    months[8] = 0.9e-3;
    line.environment.stream = Some(Stream {
        flow_m3_per_s: months,
        leave_m3_per_s: 1e-3,
    });
    let found = flow::stream(&line).unwrap();
    let fed = |m: usize| found.months[m].feeds.map(|i| found.takes[i].state.clone());
    assert_eq!(
        (fed(0), fed(7), fed(8)),
        (Some(RunState::AllJets), Some(RunState::Jets(1)), None)
    );
    assert_eq!(found.driest, 8);
    assert_eq!(found.months[8].may_take_m3_per_s, 0.0);
    assert!((found.takes[0].stream_m3_per_s - one - 1e-3).abs() < 1e-9);
}

#[test]
fn the_mouth_wants_water_over_it() {
    let mut line = Line::plain(&finely(&[(0.0, 60.0), (400.0, 0.0)]), &pipe(0.09, 1e-5));
    jets(&mut line, 3, 0.012);
    line.intake.level_m = 60.6;
    line.intake.low_level_m = 60.1;
    line.intake.level_known = true;
    let runs = flow::cases(&line).runs;
    let found = flow::intake(&line, &runs).unwrap();
    assert_eq!(found.case, RunState::AllJets);
    assert!((found.cover_m.unwrap() - 0.055).abs() < 1e-9);
    assert_eq!(found.is_deep_enough(), Some(false));
    assert!(found.siphon.is_none());
    line.intake.level_known = false;
    assert_eq!(flow::intake(&line, &runs).unwrap().is_deep_enough(), None);
}

#[test]
fn a_siphon_is_judged_at_its_crest() {
    let corners = [(0.0, 59.0), (4.0, 61.5), (10.0, 58.0), (400.0, 0.0)];
    let mut line = Line::plain(&finely(&corners), &pipe(0.09, 1e-5));
    jets(&mut line, 2, 0.01);
    line.intake.kind = steadyfall::pipe::IntakeKind::Siphon;
    line.intake.level_m = 60.0;
    line.intake.low_level_m = 59.6;
    let found = flow::intake(&line, &flow::cases(&line).runs).unwrap();
    let siphon = found.siphon.unwrap();
    assert_eq!(siphon.crest_station_m, 4.0);
    assert!((siphon.lift_m - 1.9).abs() < 1e-9);
    assert!(siphon.holds && siphon.gauge_m < -1.5);
    line.stands.push(vent(4.0));
    let runs = flow::cases(&line).runs;
    assert!(runs.iter().all(|r| r.limited.is_some()));
    assert!(runs.iter().all(|r| !r.flows()));
}

#[test]
fn a_vent_by_the_mouth_does_not_starve_a_line_whose_level_nobody_gave() {
    let corners = [(0.0, 60.0), (40.0, 59.5), (400.0, 0.0)];
    let mut line = Line::plain(&finely(&corners), &pipe(0.07, 1e-5));
    jets(&mut line, 3, 0.012);
    line.stands.push(vent(5.0));
    line.intake.level_known = false;
    assert!(all(&line).limited.is_none());
    line.intake.level_known = true;
    let limited = all(&line).limited.unwrap();
    assert!(limited.station_m <= 5.0);
    line.intake.level_m += 2.0;
    assert!(all(&line).limited.is_none());
}

#[test]
fn slow_water_drops_its_silt() {
    let mut line = Line::plain(&finely(&[(0.0, 60.0), (400.0, 0.0)]), &pipe(0.15, 1e-5));
    jets(&mut line, 1, 0.01);
    let slow = flow::silt::carrying(&all(&line));
    assert!(slow[0].settles() && slow[0].flushes_m_per_s > slow[0].carries_m_per_s);
    jets(&mut line, 6, 0.02);
    assert!(!flow::silt::carrying(&all(&line))[0].settles());
}

#[test]
fn hazen_williams_stands_near_as_a_comparison() {
    let mut line = Line::plain(&finely(&[(0.0, 60.0), (400.0, 0.0)]), &pipe(0.09, 1.5e-6));
    jets(&mut line, 2, 0.012);
    let run = all(&line);
    let other = flow::hazen::friction_m(&line.reaches, &run);
    assert!(
        (other / run.losses.friction_m - 1.0).abs() < 0.1,
        "{other} {}",
        run.losses.friction_m
    );
}
