//! Whole lines: verdicts on draws, cures, vents that stand.

use steadyfall::air::{self, Air, AirInputs, PocketCause, StartVerdict, VentFault, VentWhy};
use steadyfall::flow;
use steadyfall::line::{Appurtenance, Discharge, Jet, Line, Outlet};
use steadyfall::numeric::Rng;
use steadyfall::pipe::{Device, MarkKind, Pipe, RunState, WorkingState, find};
use steadyfall::profile;

const FOUR: [(f64, f64); 9] = [
    (0.0, 100.0),
    (60.0, 80.0),
    (120.0, 92.0),
    (180.0, 78.0),
    (250.0, 90.0),
    (320.0, 74.0),
    (400.0, 88.0),
    (470.0, 70.0),
    (540.0, 76.0),
];

fn pipe() -> Pipe {
    find("PE100 SDR 11 63").unwrap()
}

/// A line with points every few metres, so that reaches have an inside.
fn line(points: &[(f64, f64)]) -> Line {
    let mut fine = vec![points[0]];
    for pair in points.windows(2) {
        let parts = ((pair[1].0 - pair[0].0) / 5.0).ceil().max(1.0);
        let mut k = 1.0;
        while k <= parts {
            let t = k / parts;
            fine.push((
                pair[0].0 + t * (pair[1].0 - pair[0].0),
                pair[0].1 + t * (pair[1].1 - pair[0].1),
            ));
            k += 1.0;
        }
    }
    let mut line = Line::plain(&fine, &pipe());
    line.outlet = Some(Outlet {
        how: Discharge::Jets(vec![Jet {
            name: "A".to_owned(),
            nozzle_diameter_m: 0.008,
            open: 1.0,
            discharge_coefficient: 0.95,
            velocity_coefficient: 0.97,
        }]),
        nozzle_height_m: 0.0,
        water_to_wire: None,
    });
    line
}

fn judge(line: &Line) -> Air {
    let bores = [profile::Bore {
        to_m: line.geometry.length_m(),
        bore_m: line.reaches[0].pipe.inner_diameter_m,
    }];
    let profile = profile::judge(&line.geometry.heights, &bores);
    air::judge(
        line,
        &profile,
        &flow::cases(line).runs,
        &AirInputs::default(),
    )
    .unwrap()
}

fn vent(station_m: f64, device: Device) -> Appurtenance {
    Appurtenance {
        kind: MarkKind::Vent,
        station_m,
        device: Some(device),
        bore_m: Some(0.025),
        top_m: None,
        cock_open: true,
        state: WorkingState::Works,
        strength_n: None,
        opens_at_pa: None,
        slack_m: None,
        name: String::new(),
    }
}

#[test]
fn three_humps_need_the_first_two_vents() {
    let air = judge(&line(&FOUR));
    assert_eq!(air.start.verdict, StartVerdict::Locks);
    assert!((air.start.margin_worst_m + 24.0).abs() < 1e-6);
    assert!((air.start.margin_compressed_m + 5.18).abs() < 0.1);
    assert_eq!(air.cure.stations_m, [120.0, 250.0]);
    assert!((air.cure.margin_m - 6.0).abs() < 1e-6);
    assert!(air.cure.enough && air.cure.all_sets);
    let wanted = |why| {
        air.vents
            .iter()
            .filter(|v| v.stands.is_none() && v.why == why)
            .map(|v| v.station_m)
            .collect::<Vec<_>>()
    };
    assert_eq!(wanted(VentWhy::Start), [120.0, 250.0]);
    assert_eq!(wanted(VentWhy::BelowHeadValve).len(), 1);
    // the third hump gathers air when it runs, whatever the start says
    assert_eq!(wanted(VentWhy::Running), [400.0]);
    assert!(air.vents.iter().all(|v| v.bore_m > 0.0));
}

#[test]
fn hand_cocks_do_not_count_with_nobody_there() {
    let mut line = line(&FOUR);
    line.stands = vec![vent(120.0, Device::HandCock), vent(250.0, Device::HandCock)];
    let air = judge(&line);
    assert_eq!(air.start.verdict, StartVerdict::Starts);
    assert_eq!(air.unattended.verdict, StartVerdict::Locks);
    assert!(air.cure.stations_m.is_empty());
    assert_eq!(air.cure.unattended_m, [120.0, 250.0]);
    let faults: Vec<_> = air.vents.iter().flat_map(|v| &v.faults).collect();
    assert!(faults.contains(&&VentFault::ByHand));
}

#[test]
fn a_vent_that_cannot_let_air_out_does_not_start_the_line() {
    for spoil in [
        |v: &mut Appurtenance| v.device = Some(Device::VacuumValve),
        |v: &mut Appurtenance| v.state = WorkingState::Stuck,
        |v: &mut Appurtenance| v.state = WorkingState::Planned,
    ] {
        let mut line = line(&FOUR);
        line.stands = vec![vent(120.0, Device::AirValve), vent(250.0, Device::AirValve)];
        assert_eq!(judge(&line).unattended.verdict, StartVerdict::Starts);
        spoil(&mut line.stands[1]);
        let air = judge(&line);
        // 4 m short with full legs
        assert_eq!(
            air.unattended.verdict,
            StartVerdict::MayStart,
            "{:?}",
            line.stands[1]
        );
        assert_eq!(air.cure.stations_m, [250.0]);
    }
    // a shut cock is opened by whoever is there
    let mut line = line(&FOUR);
    line.stands = vec![vent(120.0, Device::AirValve), vent(250.0, Device::AirValve)];
    line.stands[1].cock_open = false;
    let air = judge(&line);
    assert_eq!(air.start.verdict, StartVerdict::Starts);
    assert_eq!(air.unattended.verdict, StartVerdict::MayStart);
}

#[test]
fn vents_planned_with_the_pipe_count() {
    let mut line = line(&FOUR);
    line.reaches[0].is_laid = false;
    line.stands = vec![vent(120.0, Device::AirValve), vent(250.0, Device::AirValve)];
    line.stands
        .iter_mut()
        .for_each(|s| s.state = WorkingState::Planned);
    assert_eq!(judge(&line).start.verdict, StartVerdict::Starts);
}

#[test]
fn a_vent_below_the_crest_leaves_a_pocket_and_is_told() {
    let mut line = line(&FOUR);
    line.stands = vec![vent(120.0, Device::AirValve), vent(265.0, Device::AirValve)];
    let air = judge(&line);
    let low = &air
        .vents
        .iter()
        .find(|v| v.station_m == 265.0)
        .unwrap()
        .faults;
    let Some(VentFault::BelowCrest(height)) =
        low.iter().find(|f| matches!(f, VentFault::BelowCrest(_)))
    else {
        panic!("{low:?}")
    };
    assert!((height - 15.0 * 16.0 / 70.0).abs() < 1e-6);
    assert!(air.start.crests[1].sealed_m > 0.0);
}

#[test]
fn an_even_fall_wants_only_the_vent_below_the_head_valve() {
    let air = judge(&line(&[(0.0, 80.0), (300.0, 20.0)]));
    assert_eq!(air.start.verdict, StartVerdict::Starts);
    assert!(air.start.crests.is_empty() && air.cure.stations_m.is_empty());
    assert!(
        air.pockets
            .iter()
            .all(|p| p.why == PocketCause::BelowShutOff)
    );
    let whys: Vec<_> = air.vents.iter().map(|v| v.why).collect();
    assert_eq!(whys, [VentWhy::BelowHeadValve]);
    assert_eq!(air.shut_fill.gauge_low_m, 0.0);
    assert!(air.left_in.is_empty());
}

#[test]
fn doubt_makes_it_cannot_tell_and_names_the_reach() {
    let mut line = line(&[
        (0.0, 100.0),
        (50.0, 90.0),
        (90.0, 95.0),
        (170.0, 80.0),
        (230.0, 88.0),
    ]);
    // squeezed margin about 1.1 m; the end 2 m up or down, the last climb tilted with it
    let mut draws = Rng::new(1);
    line.geometry.heights.draws = (0..400)
        .map(|_| {
            let e = 2.0 * draws.normal();
            line.geometry
                .heights
                .station_m
                .iter()
                .zip(&line.geometry.heights.mean_m)
                .map(|(s, z)| z + e * ((s - 170.0) / 60.0).max(0.0))
                .collect()
        })
        .collect();
    let air = judge(&line);
    assert_eq!(air.start.verdict, StartVerdict::CannotTell);
    assert!(air.start.margin_sd_m > 1.0);
    assert!(
        (0.02..0.3).contains(&air.start.probability_starts),
        "{:?}",
        air.start
    );
    assert!((0.5..0.9).contains(&air.start.probability_compressed));
    let first = air.start.decided_by[0];
    assert!(first.from_m <= 90.0 && first.to_m >= 170.0 && first.share > 0.99);
}

#[test]
fn a_vent_above_the_grade_line_inhales_and_says_so() {
    let mut line = line(&[(0.0, 99.0), (150.0, 98.8), (500.0, 60.0)]);
    line.intake.level_m = 100.0;
    line.intake.low_level_m = 100.0;
    line.intake.flood_level_m = 100.5;
    if let Some(Outlet {
        how: Discharge::Jets(jets),
        ..
    }) = &mut line.outlet
    {
        jets[0].nozzle_diameter_m = 0.03;
    }
    let mut mark = vent(150.0, Device::Standpipe);
    mark.top_m = Some(1.0);
    line.stands = vec![mark];
    let air = judge(&line);
    let faults = &air
        .vents
        .iter()
        .find(|v| v.stands == Some(0))
        .unwrap()
        .faults;
    assert!(
        faults.contains(&VentFault::Inhales(vec![RunState::AllJets])),
        "{faults:?}"
    );
    // 100.5 in flood over 98.8: 1.7 m, the pipe ends at 1.0
    assert!(
        faults
            .iter()
            .any(|f| matches!(f, VentFault::Spills { over_m, raise_m } if (over_m - 0.7).abs() < 1e-9 && (raise_m - 1.0).abs() < 1e-9))
    );
}

#[test]
fn many_humps_are_searched_too() {
    let mut points = vec![(0.0, 200.0)];
    for i in 0..15 {
        let s = 40.0 * f64::from(i);
        let z = 190.0 - 3.0 * f64::from(i);
        points.push((s + 20.0, z - 8.0));
        points.push((s + 40.0, z - f64::from(i % 4)));
    }
    let line = line(&points);
    let air = judge(&line);
    assert_eq!(air.start.crests.len(), 14);
    assert!(!air.cure.all_sets && air.cure.enough);
    assert!(air.cure.margin_m >= air.cure.wanted_margin_m);
    // with what it names, it starts
    let mut cured = line.clone();
    cured.stands = air
        .cure
        .stations_m
        .iter()
        .map(|&s| vent(s, Device::AirValve))
        .collect();
    let after = judge(&cured);
    assert_eq!(after.start.verdict, StartVerdict::Starts);
    assert!((after.start.margin_worst_m - air.cure.margin_m).abs() < 1e-9);
    // and one fewer of them does not
    for i in 0..cured.stands.len() {
        let mut fewer = cured.clone();
        fewer.stands.remove(i);
        assert!(judge(&fewer).start.margin_worst_m < air.cure.wanted_margin_m);
    }
}

#[test]
fn the_order_of_work_belongs_to_this_line() {
    use steadyfall::air::{Act, Job};
    let mut line = line(&FOUR);
    line.stands = vec![vent(120.0, Device::HandCock), vent(250.0, Device::AirValve)];
    let air = judge(&line);
    let opens = air
        .work
        .iter()
        .any(|s| s.job == Job::Filling && s.act == Act::OpenCocks(vec![120.0]));
    assert!(opens);
    let gauge = air.work.iter().find_map(|s| match s.act {
        Act::ReadShutGauge { pressure_pa, .. } => Some(pressure_pa),
        _ => None,
    });
    assert!((gauge.unwrap() / (24.0 * 9_804.0) - 1.0).abs() < 0.01);
    let waits: Vec<f64> = air
        .work
        .iter()
        .filter(|s| s.job == Job::Filling)
        .filter_map(|s| match s.act {
            Act::WaitAtCrest { after_s, .. } => Some(after_s),
            _ => None,
        })
        .collect();
    assert!(waits.windows(2).all(|w| w[0] < w[1]) && waits.len() == 3);
    for job in [
        Job::Filling,
        Job::Testing,
        Job::Draining,
        Job::Flushing,
        Job::Restarting,
    ] {
        assert!(air.work.iter().any(|s| s.job == job), "{job:?}");
    }
}

#[test]
fn a_siphon_does_not_start_by_itself_but_primed() {
    let mut line = line(&[
        (0.0, 99.0),
        (10.0, 101.5),
        (60.0, 80.0),
        (90.0, 84.0),
        (200.0, 60.0),
    ]);
    line.intake.kind = steadyfall::pipe::IntakeKind::Siphon;
    for level in [
        &mut line.intake.level_m,
        &mut line.intake.low_level_m,
        &mut line.intake.flood_level_m,
    ] {
        *level = 100.0;
    }
    let air = judge(&line);
    // somebody primes it; with nobody there it stays dry, and no vent may cure that
    assert_eq!(air.start.verdict, StartVerdict::Starts);
    assert_eq!(air.unattended.verdict, StartVerdict::Locks);
    assert!(air.cure.stations_m.is_empty() && air.cure.unattended_m.is_empty());
    let crest = air.vents.iter().find(|v| v.station_m == 10.0).unwrap();
    assert_eq!(
        (crest.why, crest.device),
        (VentWhy::Priming, Device::HandCock)
    );
    let siphon = air.siphon.unwrap();
    assert_eq!((siphon.station_m, siphon.lift_m), (10.0, 1.5));
    assert!(siphon.boils_at_m > 9.5 && siphon.boils_at_m < 10.4);
    // primed, 84 m are to be spilled over
    assert!((siphon.margin_primed_m - 16.0).abs() < 1e-9);
    assert!((air.start.margin_worst_m - 16.0).abs() < 1e-9);
    // a standpipe on its crest breaks it, for whoever is there
    let mut broken = line.clone();
    broken.stands = vec![vent(10.0, Device::Standpipe)];
    let spoilt = judge(&broken);
    assert_eq!(spoilt.start.verdict, StartVerdict::Locks);
    assert_eq!(spoilt.siphon.unwrap().broken_by, Some(0));
    // and one that lifts further than can be worked with is not primed for anybody
    let mut high = line.clone();
    for (s, z) in high
        .geometry
        .heights
        .station_m
        .iter()
        .zip(&mut high.geometry.heights.mean_m)
    {
        *z += if *s == 10.0 { 5.0 } else { 0.0 };
    }
    let high = judge(&high);
    assert!(!high.siphon.unwrap().holds());
    assert_eq!(high.start.verdict, StartVerdict::Locks);
    assert!(
        air.work
            .iter()
            .any(|s| matches!(s.act, steadyfall::air::Act::Prime(at) if at == 10.0))
    );
}
