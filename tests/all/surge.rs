//! Movements on whole lines: the road from a line and its running states to envelopes and safe times.

use steadyfall::flow;
use steadyfall::line::{Fitting, Jet, Line, Movement, Mover, Outlet, Reach, Stand, Tap, Way};
use steadyfall::pipe::{Device, FittingKind, Law, MarkKind, Often, Pipe, State, find};
use steadyfall::surge::{Allowed, Options, Surge, Surges, Timing, study};

fn pe(words: &str) -> Pipe {
    find(words).unwrap()
}

/// 640 m of pipe down 62 m of fall, four jets of 9 mm.
pub fn hill() -> Line {
    let points: Vec<(f64, f64)> = (0..=64)
        .map(|i| {
            let s = f64::from(i) * 10.0;
            (
                s,
                100.0 - 62.0 * (s / 640.0).powf(0.8) + 1.2 * (s / 35.0).sin() * (s / 640.0),
            )
        })
        .collect();
    let mut line = Line::plain(&points, &pe("PE100 SDR11 90"));
    line.intake.level_m = points[0].1 + 0.6;
    line.outlet = Some(Outlet {
        how: Way::Jets((1..=4).map(|i| jet(&format!("jet {i}"), 0.009)).collect()),
        nozzle_height_m: 0.4,
        water_to_wire: None,
    });
    line
}

fn jet(name: &str, nozzle_diameter_m: f64) -> Jet {
    Jet {
        name: name.to_owned(),
        nozzle_diameter_m,
        open: 1.0,
        discharge_coefficient: 0.95,
        velocity_coefficient: 0.97,
    }
}

fn fitting(name: &str, station_m: f64, kind: FittingKind) -> Fitting {
    Fitting {
        station_m,
        kind,
        name: name.to_owned(),
        k: None,
        open: 1.0,
        angle_rad: None,
        in_plan: None,
        bore_m: None,
        rating_pa: None,
    }
}

fn vent(station_m: f64, device: Device, top_m: Option<f64>) -> Stand {
    Stand {
        kind: MarkKind::Vent,
        station_m,
        device: Some(device),
        bore_m: Some(0.02),
        top_m,
        cock_open: true,
        state: State::Works,
        strength_n: None,
        opens_at_pa: None,
        name: "vent".to_owned(),
    }
}

fn movement(name: &str, of: Mover, from: f64, to: f64, over_s: f64) -> Movement {
    Movement {
        name: name.to_owned(),
        of,
        during: if from > 0.0 { "all jets" } else { "shut" }.to_owned(),
        from,
        to,
        over_s,
        law: Law::Area,
        often: Often::Routine,
    }
}

fn marched(line: &Line) -> Surges {
    study(line, &flow::cases(line).runs, &Options::default())
}

fn named<'a>(surges: &'a Surges, name: &str) -> &'a Surge {
    surges.named(name).unwrap_or_else(|| {
        panic!(
            "{name} among {:?} {:?}",
            surges.runs.iter().map(|s| &s.movement).collect::<Vec<_>>(),
            surges.not_run
        )
    })
}

fn allowed(line: &Line, routine_pa: f64, least_pa: f64) -> Allowed {
    let n = line.heights.station_m.len();
    Allowed {
        routine_pa: vec![routine_pa; n],
        rare_pa: vec![routine_pa * 4.0 / 3.0; n],
        least_pa: vec![least_pa; n],
    }
}

#[test]
fn standard_movements_run_without_being_named() {
    let mut line = hill();
    line.fittings = vec![
        fitting("head valve", 2.0, FittingKind::GateValve),
        fitting("turbine valve", 636.0, FittingKind::BallValve),
    ];
    let surges = marched(&line);
    let names: Vec<&str> = surges.runs.iter().map(|s| s.movement.as_str()).collect();
    assert_eq!(
        names,
        [
            "one jet blocked",
            "jets closing",
            "jets opening",
            "head valve closing",
            "turbine valve closing",
            "turbine valve opening"
        ]
    );
    assert_eq!(
        named(&surges, "turbine valve closing").timing,
        Timing::QuickLever
    );
    assert!(surges.not_run.is_empty());
    for s in &surges.runs {
        assert_eq!(s.points.len(), line.heights.station_m.len());
        assert!(s.adjustment <= 0.01, "{} {}", s.movement, s.adjustment);
        assert!(s.at_turbine.points.len() <= 400);
    }
}

#[test]
fn the_head_valve_shut_while_running_parts_the_water_below_it_unless_a_standpipe_lets_air_in() {
    let mut line = hill();
    line.fittings = vec![fitting("head valve", 2.0, FittingKind::BallValve)];
    let bare = marched(&line);
    let s = named(&bare, "head valve closing");
    let vapour = s.vapour.expect("the water hangs below the shut valve");
    assert!(vapour.at_s > 0.0 && vapour.from_m < 100.0, "{vapour:?}");
    assert!(
        s.points
            .iter()
            .all(|p| p.pressure_min_pa.is_none_or(|pa| pa >= vapour.limit_pa))
    );

    let mut pipe = vent(6.0, Device::Standpipe, Some(2.5));
    pipe.bore_m = Some(0.05);
    line.stands = vec![pipe];
    let vented = marched(&line);
    let v = named(&vented, "head valve closing");
    let near = v.points.iter().find(|p| p.station_m >= 10.0).unwrap();
    assert!(
        near.pressure_min_pa.is_some_and(|pa| pa > -15_000.0),
        "{near:?}"
    );
}

#[test]
fn a_user_movement_stands_beside_the_standard_one_and_answers_it() {
    let mut line = hill();
    line.movements = vec![
        movement("needles", Mover::Jets, 1.0, 0.0, 60.0),
        movement("nobody", Mover::Jets, 1.0, 0.0, 5.0),
    ];
    line.movements[1].during = "three jets".to_owned();
    let surges = marched(&line);
    assert_eq!(
        named(&surges, "jets closing").answered_by.as_deref(),
        Some("needles")
    );
    assert!(named(&surges, "jets opening").answered_by.is_none());
    let quick = named(&surges, "jets closing").head_max_m;
    let slow = named(&surges, "needles").head_max_m;
    assert!(slow < quick);
    assert_eq!(surges.not_run.len(), 1);
    assert!(surges.largest_pa(Often::Routine).len() == line.heights.station_m.len());
}

#[test]
fn the_pressures_come_from_the_fast_end_and_the_times_from_the_slow_one() {
    let surges = marched(&hill());
    let s = named(&surges, "one jet blocked");
    let band = s.wave_speed_bands_m_per_s[0];
    assert!(band.low < 0.85 * band.high);
    assert!((s.critical_time_s - 2.0 * 640.0 / band.low).abs() < 0.02 * s.critical_time_s);
    assert!((s.wave_speeds_m_per_s[0] / band.high - 1.0).abs() < 0.01);
    assert!(s.head_slow_m.0 < s.head_max_m);
}

#[test]
fn the_shortest_safe_time_is_safe_and_no_longer_than_it_must() {
    let line = hill();
    let runs = flow::cases(&line).runs;
    let options = Options {
        allowed: Some(allowed(&line, 7.0e5, -30_000.0)),
        ..Options::default()
    };
    let found = study(&line, &runs, &options);
    let time_s = named(&found, "jets closing").shortest_safe_s.unwrap();
    let search = named(&found, "jets closing").search.as_ref().unwrap();
    assert!(time_s > 2.0 && time_s < 120.0, "{time_s}");
    assert!(!search.hopeless);
    assert!(named(&found, "one jet blocked").shortest_safe_s.is_none());
    let largest = |over_s: f64| {
        let mut line = hill();
        line.movements = vec![movement("try", Mover::Jets, 1.0, 0.0, over_s)];
        let s = marched(&line);
        named(&s, "try")
            .points
            .iter()
            .map(|p| p.pressure_max_pa)
            .fold(0.0, f64::max)
    };
    assert!(
        largest(time_s) <= 7.0e5 * 1.002,
        "{} at {time_s}",
        largest(time_s)
    );
    assert!(
        largest(0.8 * time_s) > 7.0e5,
        "{} at {}",
        largest(0.8 * time_s),
        0.8 * time_s
    );
}

#[test]
fn a_state_over_its_limit_is_hopeless() {
    let line = hill();
    let options = Options {
        allowed: Some(allowed(&line, 3.0e5, -30_000.0)),
        ..Options::default()
    };
    let found = study(&line, &flow::cases(&line).runs, &options);
    let search = named(&found, "jets closing").search.clone().unwrap();
    assert!(search.hopeless && search.straight_s.is_none());
    assert!(search.governing_station_m > 500.0);
}

#[test]
fn everything_on_the_line_at_once_stays_steady_until_it_moves() {
    let mut line = hill();
    let small = pe("PE100 SDR11 75");
    line.reaches = vec![
        Reach::of(pe("PE100 SDR11 90"), 0.0, 433.0),
        Reach::of(small, 433.0, 640.0),
    ];
    line.fittings = vec![
        fitting("screen", 1.0, FittingKind::Strainer),
        fitting("head valve", 2.0, FittingKind::GateValve),
        fitting("flap", 300.0, FittingKind::CheckValve),
        fitting("elbow", 433.0, FittingKind::Elbow),
        fitting("turbine valve", 639.0, FittingKind::ButterflyValve),
    ];
    line.fittings[3].angle_rad = Some(0.7);
    line.taps = vec![Tap {
        station_m: 210.0,
        flow_m3_per_s: 0.0002,
    }];
    line.stands = vec![
        vent(8.0, Device::Standpipe, Some(3.0)),
        vent(90.0, Device::CombinationValve, None),
    ];
    // a movement so small that it is none
    line.movements = vec![movement("hardly", Mover::Jets, 1.0, 1.0 - 1e-13, 5.0)];
    let surges = marched(&line);
    let s = named(&surges, "hardly");
    let run = flow::cases(&line);
    let run = run.named("all jets").unwrap();
    for (p, steady) in s.points.iter().zip(&run.points) {
        let step = (steady.grade_line_m - steady.grade_line_below_m).abs();
        let drift = p.head_max_m - p.head_min_m.unwrap();
        assert!(drift < 1e-9 + step, "{} m: {drift}", p.station_m);
        // things stand at most half a cell from their place: beside them the line may differ by their step
        let beside = line
            .fittings
            .iter()
            .any(|f| (f.station_m - p.station_m).abs() < 7.0);
        let off = (p.head_max_m - steady.grade_line_m).abs();
        assert!(beside || off < 0.05, "{} m: {off}", p.station_m);
    }
    // the head at the turbine is the steady solver's
    let end = run.points.last().unwrap();
    assert!(
        (s.head_max_m - end.grade_line_below_m).abs() < 1e-6,
        "{} for {}",
        s.head_max_m,
        end.grade_line_below_m
    );
    assert!((s.head_max_m - s.head_min_m.unwrap()).abs() < 1e-9);
}

#[test]
fn a_climb_that_may_hold_air_makes_every_figure_not_valid() {
    let line = hill();
    let options = Options {
        climb_may_hold_air: true,
        ..Options::default()
    };
    let found = study(&line, &flow::cases(&line).runs, &options);
    assert!(!found.runs.is_empty() && found.runs.iter().all(|s| !s.valid));
}

#[test]
fn a_line_without_an_outlet_has_nothing_to_march() {
    let mut line = hill();
    line.outlet = None;
    line.movements = vec![movement("try", Mover::Jets, 1.0, 0.0, 5.0)];
    let found = marched(&line);
    assert!(found.runs.is_empty());
    assert_eq!(found.not_run.len(), 1);
    assert!(found.filling.is_some());
}
