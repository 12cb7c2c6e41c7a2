//! Vents, marks and pockets through the whole program: one question through two roads gives one answer, and what is advised is enough.

use serde_json::Value;
use steadyfall::air::StartVerdict;
use steadyfall::finding::{ClimbUnvented, Kind, Severity};
use steadyfall::json;
use steadyfall::line::{self, Line};
use steadyfall::numeric::Rng;
use steadyfall::pipe::{Device, MarkKind};
use steadyfall::report::account::Report;
use steadyfall::site;
use steadyfall::study::{Study, read_route_from};
use steadyfall::survey;
use steadyfall::unit::Units;

fn sheet(points: &[(f64, f64)]) -> String {
    let mut out = String::from("station_m,height_m\n");
    for (s, z) in points {
        out.push_str(&format!("{s:.6},{z:.6}\n"));
    }
    out
}

fn line_of(points: &[(f64, f64)], rest: &str) -> (steadyfall::route::Route, Line) {
    let text = format!(
        "format = 1\ntitle = \"Wren Gill\"\n[survey]\nfiles = [\"book.csv\"]\nkind = \"points\"\nfrom = \"intake\"\ntaped = \"slope\"\nof = \"pipe centre\"\npoint_sd = \"0.001 m\"\n{rest}"
    );
    let site = site::read_text("site.toml", &text).unwrap_or_else(|f| panic!("{}\n{text}", f[0]));
    let book = sheet(points);
    let route = read_route_from(&site, &|_, kind, options| {
        survey::read_bytes(book.as_bytes(), "book.csv", kind, options)
    })
    .unwrap_or_else(|f| panic!("{f}\n{book}"));
    let line = line::build(&site, &route).unwrap_or_else(|f| panic!("{}", f[0]));
    (route, line)
}

fn study(points: &[(f64, f64)], rest: &str) -> Study {
    let (route, line) = line_of(points, rest);
    Study::of(route, line)
}

fn value(study: Study) -> Value {
    json::of_check(&Report::of(study, Units::Metric))
}

fn kinds(study: &Study) -> Vec<Kind> {
    steadyfall::finding::of_study(study)
        .into_iter()
        .map(|f| f.kind)
        .collect()
}

const SEA: &str = "[site]\nlatitude = 45.0\naltitude = \"0 m\"\n[water]\ntemperature = \"10 C\"\n[intake]\nwater_level = \"0 m\"\n";

const SMOOTH: &str = "[[pipe]]\nmaterial = \"pe\"\ninner_diameter = \"90 mm\"\nouter_diameter = \"110 mm\"\nroughness = \"0.01 mm\"\nrating = \"16 bar\"\n[turbine]\njets = 2\nnozzle_diameter = \"10 mm\"\ndischarge_coefficient = 0.95\n";

// ---- whether a mark counts

const DOWN: [(f64, f64); 9] = [
    (0.0, 100.0),
    (60.0, 88.0),
    (100.0, 86.0),
    (120.0, 82.0),
    (140.0, 78.0),
    (200.0, 64.0),
    (250.0, 53.0),
    (300.0, 41.0),
    (400.0, 10.0),
];

fn held(pipe: &str, mark: &str) -> String {
    let mut out = format!(
        "[[pipe]]\nspec = \"PE100 SDR11 90\"\nstate = \"{pipe}\"\n[turbine]\njets = 2\nnozzle_diameter = \"9 mm\"\n[[flood]]\nfrom = \"110 m\"\nto = \"140 m\"\nspeed = \"2 m/s\"\ndepth = \"1 m\"\n"
    );
    let mut one = |kind: &str, at: f64| {
        out.push_str(&format!(
            "[[mark]]\nkind = \"{kind}\"\nat = \"{at} m\"\nstrength = \"20 kN\"\nstate = \"{mark}\"\n"
        ));
    };
    one("anchor", 100.0);
    one("anchor", 250.0);
    for at in 110..=140 {
        one("strap", f64::from(at));
    }
    out
}

fn wanted_holds(study: &Study) -> Vec<(MarkKind, usize)> {
    kinds(study)
        .into_iter()
        .filter_map(|k| match k {
            Kind::HoldWanted(w) => Some((w.kind, w.count)),
            _ => None,
        })
        .collect()
}

#[test]
fn what_is_planned_on_laid_pipe_holds_nothing_yet_and_is_bought_once() {
    let planned = study(&DOWN, &held("laid", "planned"));
    let stuck = study(&DOWN, &held("laid", "stuck"));
    let works = study(&DOWN, &held("laid", "works"));
    assert_eq!(wanted_holds(&planned), wanted_holds(&stuck));
    assert!(
        wanted_holds(&planned)
            .iter()
            .any(|w| w.0 == MarkKind::Strap)
    );
    assert!(!wanted_holds(&works).iter().any(|w| w.0 == MarkKind::Strap));
    let straps = |study: Study| {
        let value = value(study);
        let count = |key: &str| {
            value["marks"]
                .as_array()
                .unwrap()
                .iter()
                .filter(|m| m["kind"] == "strap" && m["state"] == key)
                .count()
        };
        (count("stands"), count("wanted"))
    };
    // the planned ones answer what is wanted: nothing is listed twice
    assert_eq!(straps(planned), (0, 31));
    assert_eq!(straps(works), (31, 0));
}

const CREST: [(f64, f64); 4] = [(0.0, 100.0), (100.0, 60.0), (140.0, 72.0), (300.0, 20.0)];

fn vented(pipe: &str, state: &str, device: &str) -> String {
    let vent = |at: f64, device: &str| {
        let top = if device == "standpipe" {
            "top = \"30 m\"\n"
        } else {
            ""
        };
        format!(
            "[[mark]]\nkind = \"vent\"\nat = \"{at} m\"\ndevice = \"{device}\"\nbore = \"50 mm\"\nstate = \"{state}\"\n{top}"
        )
    };
    format!(
        "[[pipe]]\nspec = \"PE100 SDR26 110\"\nstate = \"{pipe}\"\n[turbine]\njets = 2\nnozzle_diameter = \"9 mm\"\n[[fitting]]\nat = \"3 m\"\nkind = \"gate valve\"\nname = \"head gate\"\n{}{}",
        vent(4.0, device),
        vent(140.0, device)
    )
}

/// Everything of a result that is physics: what the state of planned things must not change where all is planned.
fn physics(mut value: Value) -> Value {
    for key in [
        "marks",
        "laying",
        "as_advised",
        "findings",
        "assumed",
        "shopping",
        "work",
        "section",
        "line",
    ] {
        value[key] = Value::Null;
    }
    value["title"] = Value::Null;
    for vent in value["air"]["vents"].as_array_mut().unwrap() {
        vent["mark"] = Value::Null;
    }
    value
}

#[test]
fn all_planned_is_judged_as_if_all_stood() {
    for device in [
        "combination valve",
        "standpipe",
        "vacuum valve",
        "hand cock",
    ] {
        let planned = physics(value(study(&CREST, &vented("planned", "planned", device))));
        let works = physics(value(study(&CREST, &vented("planned", "works", device))));
        assert!(planned == works, "{device}");
    }
    let on_laid = study(&CREST, &vented("laid", "planned", "combination valve"));
    assert!(
        on_laid
            .air
            .as_ref()
            .unwrap()
            .pockets
            .iter()
            .all(|p| p.vented_by.is_empty())
    );
    // planned there already: no second one is bought at the same station
    let buys: Vec<f64> = on_laid
        .air
        .as_ref()
        .unwrap()
        .vents
        .iter()
        .filter(|v| v.stands.is_none())
        .map(|v| v.station_m)
        .collect();
    assert!(buys.is_empty(), "{buys:?}");
}

#[test]
fn planned_and_all_planned_is_laid_and_works_on_random_lines() {
    let mut draws = Rng::new(41);
    for _ in 0..4 {
        let points = random_line(&mut draws, (0.5, 9.0));
        let at = points[2].0;
        let rest = |pipe: &str, state: &str| {
            format!(
                "{SEA}[[pipe]]\nspec = \"PE100 SDR17 110\"\nstate = \"{pipe}\"\n[turbine]\njets = 2\nnozzle_diameter = \"9 mm\"\n[[mark]]\nkind = \"vent\"\nat = \"{at:.3} m\"\ndevice = \"combination valve\"\nbore = \"25 mm\"\nstate = \"{state}\"\n[[mark]]\nkind = \"anchor\"\nat = \"{:.3} m\"\nstrength = \"5 kN\"\nstate = \"{state}\"\n",
                0.5 * at
            )
        };
        let planned = physics(value(study(&points, &rest("planned", "planned"))));
        let works = physics(value(study(&points, &rest("laid", "works"))));
        for key in ["cases", "start_up", "air", "surges", "strength"] {
            assert!(planned[key] == works[key], "{key} {points:?}");
        }
    }
}

// ---- the turbine's own valve

#[test]
fn a_valve_eighty_metres_up_is_on_the_way_to_strength_and_to_air() {
    let rest = format!(
        "{SEA}[[pipe]]\nspec = \"PE100 SDR26 110\"\nstate = \"laid\"\n[turbine]\njets = 2\nnozzle_diameter = \"9 mm\"\n[[fitting]]\nat = \"1920 m\"\nkind = \"gate valve\"\nname = \"yard valve\"\n"
    );
    let found = study(&[(0.0, 60.0), (1_000.0, 40.0), (2_000.0, 0.0)], &rest);
    let air = found.air.as_ref().unwrap();
    assert!(
        air.pockets
            .iter()
            .any(|p| p.why == steadyfall::air::PocketCause::BelowShutOff
                && (p.station_m - 1_920.0).abs() < 1.0)
    );
    assert!(
        steadyfall::study::drained(&found.line)
            .iter()
            .any(|l| l.which.to_string() == "yard valve shut")
    );
}

// ---- air left in

#[test]
fn air_left_in_is_squeezed_by_the_pressure_that_runs_at_it() {
    // by Boyle and Colebrook, outside: 6.8 m and 90 % of the power; the column of the start squeezed it to 29.4 m only
    let points = [
        (0.0, 100.0),
        (126.491_106, 60.0),
        (146.581_154, 61.9),
        (309.537_62, 31.0),
        (339.604_213, 33.0),
        (532.448_71, 0.0),
    ];
    let found = study(&points, &format!("{SEA}{SMOOTH}"));
    let air = found.air.as_ref().unwrap();
    let left = air.left_in.last().unwrap();
    assert!((left.head_compressed_m - 6.8).abs() < 0.1, "{left:?}");
    assert!(
        (left.power_share_compressed - 0.90).abs() < 0.01,
        "{left:?}"
    );
    // the law by hand, at the pocket: (ha + H - z) V = ha V0 on an even leg
    let over_m = 100.0 - 1.45 - 61.9;
    let by_hand = 30.9 * 10.33 / (10.33 + over_m);
    assert!((left.head_compressed_m - by_hand).abs() < 0.1, "{by_hand}");
    // and the list of pockets says the same of it
    let pocket = air
        .pockets
        .iter()
        .find(|p| p.seals && (p.station_m - 146.58).abs() < 0.1)
        .unwrap();
    assert_eq!(pocket.compressed.height_m, left.head_compressed_m);
}

/// Falls and climbs in turn, each climb between two heights, m.
fn random_line(draws: &mut Rng, climbs_m: (f64, f64)) -> Vec<(f64, f64)> {
    let mut points = vec![(0.0, 100.0)];
    let mut at = (0.0, 100.0);
    for _ in 0..2 + (draws.uniform() * 2.0) as usize {
        at = (
            at.0 + draws.between(60.0, 120.0),
            at.1 - draws.between(8.0, 22.0),
        );
        points.push(at);
        at = (
            at.0 + draws.between(30.0, 60.0),
            at.1 + draws.between(climbs_m.0, climbs_m.1),
        );
        points.push(at);
    }
    points.push((at.0 + 100.0, at.1 - draws.between(5.0, 15.0)));
    points
}

#[test]
fn the_start_and_the_running_pockets_say_the_same_of_whether_it_flows() {
    let mut draws = Rng::new(7);
    let mut both = [0, 0];
    for _ in 0..60 {
        let points = random_line(&mut draws, (7.0, 17.0));
        // jets so small that hardly anything is lost on the way: what runs is what starts
        let rest = format!("{SEA}{}", SMOOTH.replace("\"10 mm\"", "\"1 mm\""));
        let (_, line) = line_of(&points, &rest);
        let bores = [steadyfall::profile::Bore {
            to_m: line.geometry.length_m(),
            bore_m: 0.09,
        }];
        let profile = steadyfall::profile::judge(&line.geometry.heights, &bores);
        let cases = steadyfall::flow::cases(&line);
        let air = steadyfall::air::judge(
            &line,
            &profile,
            &cases.runs,
            &steadyfall::air::AirInputs::default(),
        )
        .unwrap();
        let Some(left) = air.left_in.first() else {
            continue;
        };
        let margin = air.start.margin_compressed_m;
        if margin.abs() < 0.05 {
            continue;
        }
        assert_eq!(
            left.flow_compressed_m3_per_s.is_some(),
            margin > 0.0,
            "{margin} {left:?} {points:?}"
        );
        both[usize::from(margin > 0.0)] += 1;
        assert!(left.head_compressed_m <= left.head_full_m + 1e-9);
        // shut, nothing runs away: the gauge is as low as the pockets are high
        let shut: f64 = air.shut_fill.pockets.iter().map(|p| p.held.height_m).sum();
        assert!((shut - air.shut_fill.gauge_low_m).abs() < 1e-9);
        for p in &air.shut_fill.pockets {
            assert!(p.held.height_m <= p.fall_m + 1e-9);
        }
    }
    assert!(both[0] > 3 && both[1] > 3, "{both:?}");
}

// ---- air that explains a gauge

#[test]
fn the_last_leg_can_hold_what_a_shut_gauge_lacks() {
    let points = [
        (0.0, 100.0),
        (121.655_251, 80.0),
        (161.966_539, 85.0),
        (512.430_518, 0.0),
    ];
    let gauge = |kpa: f64| {
        format!(
            "{SEA}{SMOOTH}[[gauge]]\nat = \"turbine\"\nstate = \"shut\"\npressure = \"{kpa} kPa\"\nlimit = \"5 kPa\"\n"
        )
    };
    let low = |kpa: f64| {
        let found = study(&points, &gauge(kpa));
        let leaves = found.air.as_ref().unwrap().shut_fill.gauge_low_m;
        let air = found
            .gauges
            .unwrap()
            .explanations
            .into_iter()
            .find(|e| e.cause == steadyfall::flow::GaugeCause::StandingAir)
            .unwrap();
        (leaves, air)
    };
    let (leaves, air) = low(784.2);
    assert!((leaves - 38.7).abs() < 0.1, "{leaves}");
    assert!(
        (air.head_m - 20.0).abs() < 0.1 && air.fit > 0.99 && !air.came_later,
        "{air:?}"
    );
    // more than filling leaves, less than the leg: only if air came in later, and that is said
    let (_, more) = low(490.0);
    assert!(
        (more.head_m - 50.0).abs() < 0.2 && more.fit > 0.99 && more.came_later,
        "{more:?}"
    );
    // more than the whole fall of the leg is not air
    let (_, most) = low(50.0);
    assert!(
        (most.head_m - 85.0).abs() < 0.1 && most.fit < 0.01,
        "{most:?}"
    );
}

// ---- what is bought for a place does all that is asked of it

const DIP: [(f64, f64); 5] = [
    (0.0, 100.0),
    (150.0, 60.0),
    (200.0, 68.0),
    (400.0, 30.0),
    (600.0, 20.0),
];

fn steel(more: &str) -> String {
    format!(
        "[site]\nlatitude = 45.0\naltitude = \"0 m\"\n[water]\ntemperature = \"10 C\"\n[intake]\nwater_level = \"1 m\"\n[[pipe]]\nmaterial = \"steel\"\nouter_diameter = \"219.1 mm\"\nwall = \"2.5 mm\"\nroughness = \"0.05 mm\"\nrating = \"25 bar\"\njoint = \"welded\"\n[turbine]\njets = 2\nnozzle_diameter = \"25 mm\"\ndischarge_coefficient = 0.95\n{more}"
    )
}

fn mark(at: f64, device: &str, bore_mm: f64, more: &str) -> String {
    format!(
        "[[mark]]\nkind = \"vent\"\nat = \"{at:.4} m\"\ndevice = \"{device}\"\nbore = \"{bore_mm} mm\"\n{more}"
    )
}

#[test]
fn each_way_of_a_vent_has_its_own_bore_and_one_device_serves_the_crest() {
    let found = study(&DIP, &steel(""));
    let vents = &found.air.as_ref().unwrap().vents;
    let crest = vents
        .iter()
        .find(|v| (v.station_m - 200.0).abs() < 2.0)
        .unwrap();
    assert_eq!(crest.device, Device::CombinationValve);
    let (out, inward) = (crest.out.unwrap(), crest.inward.unwrap());
    assert!(
        out.bore_m < inward.bore_m
            && inward.bore_m <= crest.bore_m
            && crest.bore_m < 1.4 * inward.bore_m,
        "{crest:?}"
    );
    let head = vents.iter().find(|v| v.station_m < 3.0).unwrap();
    assert!(head.out.is_none() && head.inward.is_some(), "{head:?}");
    // a vacuum valve there lets no air out: an air valve beside it is what is still lacking
    let half = study(&DIP, &steel(&mark(200.0, "vacuum valve", 65.0, "")));
    let at: Vec<_> = half
        .air
        .as_ref()
        .unwrap()
        .vents
        .iter()
        .filter(|v| (v.station_m - 200.0).abs() < 2.0)
        .collect();
    let lacking = at.iter().find(|v| v.stands.is_none()).unwrap();
    assert_eq!((lacking.device, lacking.inward), (Device::AirValve, None));
    let whole = study(&DIP, &steel(&mark(200.0, "combination valve", 65.0, "")));
    let one = whole.air.as_ref().unwrap();
    let at: Vec<_> = one
        .vents
        .iter()
        .filter(|v| (v.station_m - 200.0).abs() < 2.0)
        .collect();
    assert_eq!(at.len(), 1);
    assert!(
        at[0].faults.is_empty() && at[0].why != steadyfall::air::VentWhy::Stands,
        "{at:?}"
    );
}

#[test]
fn the_bore_that_is_told_is_enough_and_so_is_the_height() {
    let narrow = study(&DIP, &steel(&mark(200.0, "combination valve", 20.0, "")));
    let told = narrow
        .air
        .as_ref()
        .unwrap()
        .vents
        .iter()
        .flat_map(|v| &v.faults)
        .find_map(|f| match f {
            steadyfall::air::VentFault::BoreUnder(m) => Some(*m),
            _ => None,
        })
        .unwrap();
    let wide = study(
        &DIP,
        &steel(&mark(200.0, "combination valve", (told * 1e3).round(), "")),
    );
    let faults = |s: &Study| {
        s.air
            .as_ref()
            .unwrap()
            .vents
            .iter()
            .filter(|v| v.stands.is_some())
            .flat_map(|v| v.faults.clone())
            .collect::<Vec<_>>()
    };
    assert!(faults(&wide).is_empty(), "{:?}", faults(&wide));
    let short = study(
        &DIP,
        &steel(&mark(0.5, "standpipe", 65.0, "top = \"0.4 m\"\n")),
    );
    let raise = faults(&short)
        .iter()
        .find_map(|f| match f {
            steadyfall::air::VentFault::Spills { raise_m, .. } => Some(*raise_m),
            _ => None,
        })
        .unwrap();
    let raised = study(
        &DIP,
        &steel(&mark(
            0.5,
            "standpipe",
            65.0,
            &format!("top = \"{:.2} m\"\n", 0.4 + raise),
        )),
    );
    assert!(
        !faults(&raised)
            .iter()
            .any(|f| matches!(f, steadyfall::air::VentFault::Spills { .. })),
        "{:?}",
        faults(&raised)
    );
}

#[test]
fn a_vacuum_valve_below_a_shut_off_is_all_that_is_asked_there() {
    let rest = format!(
        "{SEA}[[pipe]]\nspec = \"PE100 SDR11 110\"\n[turbine]\njets = 2\nnozzle_diameter = \"9 mm\"\n[[fitting]]\nat = \"274 m\"\nkind = \"gate valve\"\nname = \"middle valve\"\n{}",
        mark(274.5, "vacuum valve", 25.0, "")
    );
    let found = study(&[(0.0, 139.0), (663.0, 100.0)], &rest);
    let vent = found
        .air
        .as_ref()
        .unwrap()
        .vents
        .iter()
        .find(|v| v.stands.is_some())
        .unwrap();
    assert!(vent.faults.is_empty(), "{vent:?}");
    let at_274 =
        |f: &steadyfall::finding::Finding| (f.from_m - 274.0).abs() < 1.0 && f.to_m < 276.0;
    assert!(
        !steadyfall::finding::of_study(&found).iter().any(
            |f| at_274(f) && matches!(f.kind, Kind::AirGathers { .. } | Kind::VentFails { .. })
        )
    );
}

// ---- where an open vent would draw air in

/// The pipe climbs out of the intake to a crest that stands in suction while it runs.
const SUCKED: [(f64, f64); 3] = [(0.0, 100.0), (48.2, 100.57), (199.0, 30.0)];

fn sucked(more: &str) -> String {
    format!(
        "[site]\naltitude = \"100 m\"\n[intake]\nwater_level = \"1.5 m\"\nlow_level = \"0.75 m\"\n[[pipe]]\nspec = \"PE100 SDR7.4 75\"\n[turbine]\nflow = \"4 L/s\"\n{more}"
    )
}

#[test]
fn a_cock_where_nothing_else_can_stand_is_not_wanted_twice_nor_blamed() {
    let bare = study(&SUCKED, &sucked(""));
    let wanted = bare
        .air
        .as_ref()
        .unwrap()
        .vents
        .iter()
        .find(|v| (v.station_m - 48.2).abs() < 1.0)
        .unwrap();
    assert_eq!((wanted.device, wanted.stands), (Device::HandCock, None));
    let obeyed = study(
        &SUCKED,
        &sucked(&mark(48.2, "hand cock", wanted.bore_m * 1e3, "")),
    );
    let at: Vec<_> = obeyed
        .air
        .as_ref()
        .unwrap()
        .vents
        .iter()
        .filter(|v| (v.station_m - 48.2).abs() < 1.0)
        .collect();
    assert_eq!(at.len(), 1, "{at:?}");
    assert!(at[0].faults.is_empty(), "{at:?}");
    let climb = |s: &Study| {
        steadyfall::finding::of_study(s)
            .into_iter()
            .find(|f| {
                matches!(
                    f.kind,
                    Kind::ClimbUnvented(ClimbUnvented {
                        cock_only: true,
                        ..
                    })
                )
            })
            .unwrap()
            .severity
    };
    assert_eq!(
        (climb(&bare), climb(&obeyed)),
        (Severity::Fix, Severity::Watch)
    );
}

#[test]
fn vents_are_not_advised_for_a_lock_that_they_do_not_cure() {
    // the crest stands above the lowest water: vented or not, it does not spill over
    let points = [
        (0.0, 100.0),
        (132.5, 101.08),
        (300.0, 60.0),
        (340.0, 62.0),
        (867.0, 0.0),
    ];
    let rest = "[intake]\nwater_level = \"0.6 m\"\nlow_level = \"0.3 m\"\n[[pipe]]\nspec = \"PE100 SDR11 125\"\n[turbine]\njets = 2\nnozzle_diameter = \"8 mm\"\n";
    let found = study(&points, rest);
    let air = found.air.as_ref().unwrap();
    assert!(!air.cure.enough && !air.cure.starts);
    let locks = kinds(&found).into_iter().find_map(|k| match k {
        Kind::Starting(start) if start.verdict == StartVerdict::Locks && !start.unattended_only => {
            Some(start.vents_enough)
        }
        _ => None,
    });
    assert_eq!(locks, Some(false));
    assert!(
        air.vents
            .iter()
            .all(|v| v.why != steadyfall::air::VentWhy::Start || v.stands.is_some())
    );
    assert!(
        air.work
            .iter()
            .any(|s| s.act == steadyfall::air::Act::VentsDoNotCure)
    );
}

#[test]
fn no_vent_is_advised_where_the_pipe_does_not_run_full() {
    // a hump whose crest stands far over the grade line of two jets
    let points = [(0.0, 100.0), (100.0, 90.0), (300.0, 97.0), (600.0, 10.0)];
    let rest = format!(
        "{SEA}[[pipe]]\nspec = \"PE100 SDR11 63\"\n[turbine]\njets = 2\nnozzle_diameter = \"12 mm\"\n"
    );
    let found = study(&points, &rest);
    let limited = found
        .cases
        .runs
        .iter()
        .find_map(|r| r.limited.as_ref())
        .unwrap();
    assert!(!limited.remedies.is_empty());
    let crest = found
        .air
        .as_ref()
        .unwrap()
        .vents
        .iter()
        .find(|v| (v.station_m - 300.0).abs() < 2.0)
        .unwrap();
    assert_eq!(crest.device, Device::HandCock);
}
