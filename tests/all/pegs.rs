//! Stations on the pegs: whichever way they count, what is said on them means that place, and what is told is told on them.

use crate::program::room;
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use steadyfall::drawing::{self, PaperSize, Role};
use steadyfall::export::laying;
use steadyfall::export::places;
use steadyfall::export::stations;
use steadyfall::finding::{CannotBe, Kind, Severity};
use steadyfall::flow::WhyNot;
use steadyfall::line::{self, Line};
use steadyfall::mark::Status;
use steadyfall::report::account::Report;
use steadyfall::route::{Reckoning, Route};
use steadyfall::site;
use steadyfall::study::{self, Study};
use steadyfall::unit::Units;
use steadyfall::view::section;
use steadyfall::{json, words};

/// A line with a climb at 60 to 100 m below the intake, levelled from the intake down: heights at stations along the slope.
const DOWN: [(f64, f64); 14] = [
    (0.0, 100.0),
    (20.0, 96.0),
    (40.0, 92.0),
    (60.0, 88.0),
    (80.0, 88.9),
    (100.0, 89.5),
    (120.0, 85.0),
    (140.0, 80.0),
    (160.0, 74.0),
    (200.0, 66.0),
    (250.0, 55.0),
    (300.0, 42.0),
    (350.0, 25.0),
    (400.0, 10.0),
];

/// The same book with its pegs counted from the turbine up, 400 to 0.
fn book(up: bool) -> String {
    let rows = DOWN.map(|(s, z)| format!("{},{z}\n", if up { 400.0 - s } else { s }));
    format!("station_m,height_m\n{}", rows.concat())
}

/// A site of that book with more said of it.
fn written(name: &str, up: bool, more: &str) -> PathBuf {
    let dir = room(name);
    fs::write(dir.join("book.csv"), book(up)).unwrap();
    let survey =
        "[survey]\nfiles = [\"book.csv\"]\nfrom = \"intake\"\ntaped = \"slope\"\nof = \"ground\"\n";
    let turbine = "[turbine]\njets = 2\nnozzle_diameter = \"9 mm\"\n";
    fs::write(
        dir.join("site.toml"),
        format!("format = 1\n{survey}{turbine}{more}"),
    )
    .unwrap();
    dir
}

const PIPE: &str = "[[pipe]]\nspec = \"PE100 SDR11 90\"\n";

fn on_line(dir: &Path) -> Result<(Route, Line), Vec<String>> {
    let told = |faults: steadyfall::text::Faults| {
        let first = |f: &steadyfall::text::Fault| {
            let text = f.to_string();
            text.lines().next().unwrap_or_default().to_owned()
        };
        faults.iter().map(first).collect::<Vec<_>>()
    };
    let site = site::read_file(&dir.join("site.toml")).map_err(told)?;
    let route = study::read_route(&site).map_err(|f| told(f.into()))?;
    let line = line::build(&site, &route).map_err(told)?;
    Ok((route, line))
}

fn line_of(name: &str, up: bool, more: &str) -> Line {
    let (_, line) = on_line(&written(name, up, more)).unwrap_or_else(|f| panic!("{f:?}"));
    line
}

fn refused(name: &str, up: bool, more: &str) -> String {
    match on_line(&written(name, up, more)) {
        Ok(_) => panic!("{more} was accepted"),
        Err(faults) => faults.first().cloned().unwrap_or_default(),
    }
}

#[test]
fn a_reach_is_said_down_the_line_or_up_the_pegs_and_means_that_place() {
    let flood = |from: u32, to: u32| {
        format!(
            "{PIPE}[[flood]]\nfrom = \"{from} m\"\nto = \"{to} m\"\nspeed = \"2 m/s\"\ndepth = \"1 m\"\n"
        )
    };
    let at = |name: &str, up: bool, from: u32, to: u32| {
        let line = line_of(name, up, &flood(from, to));
        let flood = &line.environment.floods[0];
        (flood.from_m, flood.to_m)
    };
    // 330 to 250 on pegs that count up the hill is 70 to 150 m below the intake, and said the other way round it is the same
    assert_eq!(at("pegs-330-250", true, 330, 250), (70.0, 150.0));
    assert_eq!(at("pegs-250-330", true, 250, 330), (70.0, 150.0));
    assert_eq!(at("pegs-70-150", true, 70, 150), (250.0, 330.0));
    assert_eq!(at("pegs-down", false, 70, 150), (70.0, 150.0));
    assert!(
        refused("pegs-back", false, &flood(330, 250))
            .ends_with("this section ends before it begins")
    );
    let two = format!("{}{}", flood(330, 250), flood(260, 200).replace(PIPE, ""));
    assert!(
        refused("pegs-over", true, &two).ends_with("this [[flood]] overlaps another one"),
        "{}",
        refused("pegs-over-again", true, &two)
    );
}

#[test]
fn pipes_stand_in_order_by_the_sense_of_the_pegs() {
    let pipes = |first: u32, second: &str| {
        format!("{PIPE}to = \"{first} m\"\n[[pipe]]\nspec = \"PE100 SDR17 90\"\n{second}")
    };
    let ends = |name: &str, up: bool, text: &str| {
        let line = line_of(name, up, text);
        line.reaches
            .iter()
            .map(|r| (r.from_m, r.to_m))
            .collect::<Vec<_>>()
    };
    let third = "to = \"100 m\"\n[[pipe]]\nspec = \"PE100 SDR11 90\"\n";
    assert_eq!(
        ends("pipes-up", true, &pipes(300, third)),
        [(0.0, 100.0), (100.0, 300.0), (300.0, 400.0)]
    );
    assert_eq!(
        ends("pipes-down", false, &pipes(300, "from = \"300 m\"\n")),
        [(0.0, 300.0), (300.0, 400.0)]
    );
    for (name, up, first, second, said) in [
        (
            "pipes-back",
            false,
            300,
            third,
            "this pipe ends before it begins: the pipes overlap or are in the wrong order",
        ),
        (
            "pipes-up-back",
            true,
            100,
            "to = \"300 m\"\n",
            "this pipe ends before it begins: the pipes overlap or are in the wrong order",
        ),
        (
            "pipes-over",
            false,
            300,
            "from = \"250 m\"\n",
            "this pipe overlaps the one above it",
        ),
        (
            "pipes-up-over",
            true,
            300,
            "from = \"350 m\"\n",
            "this pipe overlaps the one above it",
        ),
        (
            "pipes-gap",
            false,
            300,
            "from = \"350 m\"\n",
            "there is a gap above this pipe",
        ),
        (
            "pipes-short",
            false,
            100,
            "to = \"300 m\"\n",
            "the last pipe ends above the lower end of the pipeline",
        ),
        (
            "pipes-joint",
            false,
            300,
            "joints_at = [\"350 m\", \"200 m\"]\n",
            "a joint is above the beginning of its pipe",
        ),
        (
            "pipes-joint-up",
            true,
            300,
            "joints_at = [\"50 m\", \"320 m\"]\n",
            "a joint is above the beginning of its pipe",
        ),
        (
            "pipes-joint-twice",
            true,
            300,
            "joints_at = [\"50 m\", \"50 m\"]\n",
            "this joint is given twice",
        ),
    ] {
        let fault = refused(name, up, &pipes(first, second));
        assert!(fault.ends_with(said), "{name}: {fault}");
    }
    let gap = refused("pipes-first", false, &format!("{PIPE}from = \"40 m\"\n"));
    assert!(gap.ends_with("there is a gap above this pipe"), "{gap}");
}

#[test]
fn both_reckonings_meet_at_every_point() {
    for (name, up) in [("meet-up", true), ("meet-down", false)] {
        let (route, _) = on_line(&written(name, up, PIPE)).unwrap();
        let pegs = Reckoning::of(&route);
        assert!(pegs.has_pegs());
        assert_eq!(pegs.counts_up(), up);
        for (node, (s, _)) in route.nodes.iter().zip(DOWN) {
            assert!((node.station_m - s).abs() < 1e-9);
            let peg = if up { 400.0 - s } else { s };
            assert!((node.on_pegs.0 - peg).abs() < 1e-9);
        }
    }
}

/// Every place of a result: its path, along the pipe and on the pegs.
fn places(value: &Value, path: &str, out: &mut Vec<(String, f64, f64)>) {
    match value {
        Value::Array(list) => {
            for (i, v) in list.iter().enumerate() {
                places(v, &format!("{path}[{i}]"), out);
            }
        }
        Value::Object(map) => {
            for (key, v) in map {
                if let Some(along) = key.strip_prefix("peg_") {
                    let beside = &map[along];
                    let pairs = match (v, beside) {
                        (Value::Array(a), Value::Array(b)) => a.iter().zip(b).collect(),
                        both => vec![both],
                    };
                    for (peg, along) in pairs {
                        let (peg, along) = (peg.as_f64().unwrap(), along.as_f64().unwrap());
                        out.push((format!("{path}.{key}"), along, peg));
                    }
                } else {
                    assert!(
                        !key.ends_with("station_m") || map.contains_key(&format!("peg_{key}")),
                        "{path}.{key} is told along the pipe alone"
                    );
                    places(v, &format!("{path}.{key}"), out);
                }
            }
        }
        _ => {}
    }
}

fn account(name: &str, up: bool, more: &str) -> Report {
    let (route, line) = on_line(&written(name, up, more)).unwrap();
    Report::of(Study::of(route, line), Units::Metric)
}

/// Judged along the pipe, a line is the same whichever way its pegs count; what is told of it stands on the pegs.
#[test]
fn pegs_up_equal_pegs_down_and_each_is_told_on_its_own() {
    let vent = |peg: u32| {
        format!(
            "{PIPE}state = \"planned\"\n[[mark]]\nkind = \"vent\"\nat = \"{peg} m\"\ndevice = \"air valve\"\nbore = \"25 mm\"\n"
        )
    };
    let up = account("told-up", true, &vent(300));
    let down = account("told-down", false, &vent(100));
    let (of_up, of_down) = (json::of_check(&up), json::of_check(&down));
    let all = |result: &Value| {
        let mut out = Vec::new();
        places(result, "$", &mut out);
        out
    };
    let (up_places, down_places) = (all(&of_up), all(&of_down));
    assert!(up_places.len() > 100, "{}", up_places.len());
    assert_eq!(up_places.len(), down_places.len());
    for (up, down) in up_places.iter().zip(&down_places) {
        assert_eq!(up.0, down.0);
        assert!((up.1 - down.1).abs() < 1e-3, "{up:?} {down:?}");
        assert!((up.1 - (400.0 - up.2)).abs() < 2e-3, "{up:?}");
        assert!((down.1 - down.2).abs() < 2e-3, "{down:?}");
    }
    assert!(crate::schema::faults(&of_up).is_empty());
    // the climb from 60 to 100 m below the intake is 340 to 300 on the pegs, and the vent stands at 300
    let climb = up
        .findings
        .iter()
        .find(|f| matches!(f.kind.code(), "air-lock" | "may-start"))
        .or_else(|| up.findings.first())
        .unwrap();
    let told = format!(
        "{} {}",
        words::text(climb, up.say()),
        words::advice(climb, up.say())
    );
    let old = format!(
        "{} {}",
        words::text(climb, down.say()),
        words::advice(climb, down.say())
    );
    assert_ne!(told, old);
    let stands = up
        .marks
        .iter()
        .find(|m| m.standing == Status::Existing)
        .unwrap();
    assert_eq!(stands.station_m, 100.0);
    assert!(places::about(stands, up.say()).starts_with("at 300 m"));
    // the sheets carry both
    let sheet = String::from_utf8(stations::of_check(&up).unwrap()).unwrap();
    let mut rows = sheet.lines();
    assert!(rows.next().unwrap().starts_with("station_m,peg_station_m,"));
    assert!(rows.next().unwrap().starts_with("0.00,400.00,"));
    let laid = String::from_utf8(laying::sheet(&up).unwrap().unwrap()).unwrap();
    assert!(
        laid.lines()
            .next()
            .unwrap()
            .contains("from_station_m,peg_from_station_m,to_station_m,peg_to_station_m"),
        "{laid}"
    );
    // and so do the drawn axis and the table under it
    let section = section::of_check(&up);
    assert_eq!(section.rows[0].figures.first(), Some(&Some(400.0)));
    let drawn = drawing::profile(&section, PaperSize::usual(Units::Metric));
    let ruled: Vec<(f64, f64)> = drawn
        .iter()
        .flat_map(|p| p.sheet.texts())
        .filter(|t| t.role == Role::Ruling && !t.turned)
        .filter_map(|t| Some((t.at.0, t.text.parse().ok()?)))
        .collect();
    // the axes of heights and pressures have such figures too, at the left
    let left = ruled.iter().map(|r| r.0).fold(f64::INFINITY, f64::min);
    let along: Vec<&(f64, f64)> = ruled.iter().filter(|r| r.0 > left + 0.1).collect();
    let hundreds = |x: f64| along.iter().rfind(|r| r.1 == x).map(|r| r.0);
    assert!(
        hundreds(300.0).unwrap() < hundreds(100.0).unwrap(),
        "{ruled:?}"
    );
}

#[test]
fn what_was_asked_and_cannot_be_is_to_be_put_right() {
    let asked = |name: &str, more: &str| {
        let dir = written(name, false, more);
        let file = dir.join("site.toml");
        let text = fs::read_to_string(&file).unwrap();
        let fixed = text.replace(
            "jets = 2\nnozzle_diameter = \"9 mm\"\n",
            "flow = \"20 L/s\"\n",
        );
        fs::write(&file, fixed).unwrap();
        let (route, line) = on_line(&dir).unwrap();
        Report::of(Study::of(route, line), Units::Metric)
    };
    let found = asked("too-much", PIPE);
    let cannot: Vec<_> = found
        .findings
        .iter()
        .filter(|f| matches!(f.kind, Kind::CannotBe { .. }))
        .collect();
    let [finding] = cannot.as_slice() else {
        panic!("{:?}", found.findings)
    };
    assert_eq!(finding.severity, Severity::Fix);
    let Kind::CannotBe(CannotBe {
        why: WhyNot::TooMuch {
            asked_m3_per_s,
            most_m3_per_s,
        },
        ..
    }) = finding.kind
    else {
        panic!("{finding:?}")
    };
    assert!((asked_m3_per_s - 0.020).abs() < 1e-9);
    assert!(
        most_m3_per_s > 0.012 && most_m3_per_s < 0.020,
        "{most_m3_per_s}"
    );
    let faults = crate::schema::faults(&json::of_check(&found));
    assert_eq!(faults, Vec::<String>::new());
    // a draw that leaves nothing, and a stream of which nothing may be taken
    let drawn = account(
        "draws-all",
        false,
        &format!("{PIPE}[[draw]]\nat = \"200 m\"\nflow = \"60 L/s\"\n"),
    );
    assert!(drawn.findings.iter().any(|f| f.severity >= Severity::Fix
        && matches!(
            f.kind,
            Kind::CannotBe(CannotBe {
                why: WhyNot::TapsTakeAll,
                ..
            })
        )));
    let dry = account(
        "stream-dry",
        false,
        &format!("{PIPE}[stream]\nflow = \"3 L/s\"\nleave = \"3 L/s\"\n"),
    );
    assert!(
        dry.findings
            .iter()
            .any(|f| f.severity >= Severity::Fix && matches!(f.kind, Kind::StreamShort { .. }))
    );
}

#[test]
fn two_machines_in_one_powerhouse_are_told_how_to_be_declared() {
    let dir = room("two-machines");
    let file = dir.join("site.toml");
    fs::write(
        &file,
        "format = 1\n[survey]\nfiles = [\"a.csv\"]\n[[turbine]]\njets = 2\n[[turbine]]\njets = 1\n",
    )
    .unwrap();
    let faults = site::read_file(&file).unwrap_err();
    let told = faults[0].to_string();
    assert!(
        told.contains("as one [turbine]") && !told.contains("site file for each"),
        "{told}"
    );
}
