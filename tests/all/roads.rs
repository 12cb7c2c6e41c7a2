//! The same question asked by two roads, on random lines: one answer.

use crate::program::{program, room};
use serde_json::Value;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use steadyfall::finding::Kind;
use steadyfall::flow::GaugeCause;
use steadyfall::form;
use steadyfall::form::SiteOptions;
use steadyfall::json;
use steadyfall::line;
use steadyfall::numeric::Rng;
use steadyfall::report::account::Report;
use steadyfall::site::{self, Site};
use steadyfall::study::{Study, read_route_from};
use steadyfall::survey;
use steadyfall::unit::Units;

const PIPES: [&str; 4] = [
    "PE100 SDR11 90",
    "PE100 SDR17 110",
    "PVC SDR26 4 in",
    "PE4710 DR11 3 in IPS",
];

/// Stations to the metre and heights to the centimetre down a hill, here and there a climb.
fn book(draws: &mut Rng) -> Vec<(f64, f64)> {
    let (mut s, mut z) = (0_u32, 30_000_i32);
    let mut out = vec![(0.0, 300.0)];
    for leg in 0..5 + draws.below(7) {
        let along = 15 + draws.below(45) as u32;
        let climbs = leg > 0 && draws.below(5) == 0;
        let share = if climbs {
            draws.between(0.005, 0.03)
        } else {
            -draws.between(0.04, 0.22)
        };
        s += along;
        z += (100.0 * share * f64::from(along)) as i32;
        out.push((f64::from(s), f64::from(z) / 100.0));
    }
    out
}

fn sheet(points: &[(f64, f64)]) -> String {
    points
        .iter()
        .fold("station_m,height_m\n".to_owned(), |mut out, (s, z)| {
            let _ = writeln!(out, "{s:.3},{z:.3}");
            out
        })
}

fn study(site: &Site, sheet: &str) -> Study {
    let route = read_route_from(site, &|_, kind, options| {
        survey::read_bytes(sheet.as_bytes(), "book.csv", kind, options)
    })
    .unwrap_or_else(|f| panic!("{f}\n{sheet}"));
    let line = line::build(site, &route).unwrap_or_else(|f| panic!("{}\n{sheet}", f[0]));
    Study::of(route, line)
}

fn result(site: &Site, sheet: &str) -> Value {
    json::of_check(&Report::of(study(site, sheet), Units::Metric))
}

fn read(text: &str) -> Site {
    site::read_text("site.toml", text).unwrap_or_else(|f| panic!("{}\n{text}", f[0]))
}

const SURVEY: &str = "format = 1\ntitle = \"random\"\n[survey]\nfiles = [\"book.csv\"]\nkind = \"points\"\nfrom = \"intake\"\ntaped = \"slope\"\npoint_sd = \"0.01 m\"\n";

fn plant(draws: &mut Rng) -> String {
    format!(
        "[intake]\nwater_level = \"{:.1} m\"\n[turbine]\njets = {}\nnozzle_diameter = \"{:.1} mm\"\n[[pipe]]\nspec = \"{}\"\n",
        draws.between(0.2, 1.5),
        1 + draws.below(4),
        draws.between(5.0, 10.0),
        PIPES[draws.below(4)],
    )
}

// ---- options and site file

#[test]
fn options_equal_the_site_file_that_is_written_of_them() {
    let mut draws = Rng::new(17);
    for round in 0..5 {
        let points = book(&mut draws);
        let end = points.last().unwrap().0;
        let pipe = PIPES[draws.below(4)];
        let pipes = if round % 2 == 0 {
            vec![pipe.to_owned()]
        } else {
            let feet = draws.between(0.3, 0.7) * end / 0.3048;
            vec![
                format!("{pipe} to {feet:.1} ft"),
                PIPES[draws.below(4)].to_owned(),
            ]
        };
        let wish = SiteOptions {
            files: vec!["book.csv".to_owned()],
            title: Some("random".to_owned()),
            units: Some([Units::Metric, Units::Us][draws.below(2)]),
            kind: Some("points".to_owned()),
            taped: Some("slope".to_owned()),
            from: Some("intake".to_owned()),
            barometer: false,
            pressure_log: None,
            base_log: None,
            pipes,
            jets: Some(format!(
                "{} x {:.2} mm, 1/4 in",
                1 + draws.below(3),
                draws.between(5.0, 10.0)
            )),
            water_level: Some(format!("{:.2} ft", draws.between(0.5, 4.0))),
        };
        let by_options = form::from_options(&wish).unwrap_or_else(|f| panic!("{}", f[0]));
        let text = form::options_text(&by_options);
        let sheet = sheet(&points);
        let printed = |site: &Site| json::printed(&result(site, &sheet));
        assert!(
            printed(&by_options) == printed(&read(&text)),
            "{text}\n{sheet}"
        );
    }
}

/// A wrong word of the catalogue is told as the option's, with what it could be: no line of a file that nobody wrote.
#[test]
fn a_pipe_that_no_row_matches_is_the_option_s_fault() {
    let dir = room("option-pipe");
    fs::write(dir.join("book.csv"), sheet(&book(&mut Rng::new(3)))).unwrap();
    let told = |more: &[&str]| {
        let mut words = vec!["check", "book.csv", "--taped", "slope", "--from", "intake"];
        words.extend(more);
        let out = program(&dir).args(words).assert().code(2);
        String::from_utf8(out.get_output().stderr.clone()).unwrap()
    };
    let none = told(&["--pipe", "PE999 SDR11 90", "--jets", "2 x 9 mm"]);
    let first = none.lines().next().unwrap();
    assert!(first.starts_with("command line: --pipe: "), "{none}");
    assert!(none.contains("| --pipe \"PE999 SDR11 90\""), "{none}");
    assert!(none.contains("found: ") && none.contains("do: "), "{none}");
    let many = told(&["--pipe", "PE100 90", "--jets", "2 x 9 mm"]);
    assert!(
        many.starts_with("command line: --pipe: ") && many.contains("SDR"),
        "{many}"
    );
    let beyond = told(&[
        "--pipe",
        "PE100 SDR11 90 to 9000 m",
        "--pipe",
        "PE100 SDR17 110",
    ]);
    assert!(beyond.starts_with("command line: --pipe: "), "{beyond}");
    for stderr in [none, many, beyond] {
        assert!(!stderr.contains("spec ="), "{stderr}");
    }
    let gone = program(&dir)
        .args(["check", "gone.csv", "--pipe", "PE100 SDR11 90"])
        .assert()
        .code(2);
    let gone = String::from_utf8(gone.get_output().stderr.clone()).unwrap();
    assert!(
        gone.starts_with("gone.csv: there is no such file"),
        "{gone}"
    );
    for (option, word) in [("--taped", "slop"), ("--from", "inlet"), ("--kind", "gps")] {
        let out = program(&dir)
            .args(["survey", "book.csv", option, word])
            .assert()
            .code(2);
        let text = String::from_utf8(out.get_output().stderr.clone()).unwrap();
        assert!(
            text.starts_with(&format!("command line: {option}: \"{word}\"")),
            "{text}"
        );
    }
}

// ---- the pegs

/// Every figure but those on the pegs, words, and the sheet, whose columns stand on round pegs.
fn off_the_pegs(value: &mut Value) {
    match value {
        Value::Array(list) => list.iter_mut().for_each(off_the_pegs),
        Value::Object(map) => {
            map.retain(|key, _| {
                let told = [
                    "text",
                    "do",
                    "verdict_text",
                    "work",
                    "section",
                    "list",
                    "remarks",
                    // The two site files differ, and the books they name.
                    "files",
                ];
                !key.contains("peg_") && !told.contains(&key.as_str())
            });
            map.values_mut().for_each(off_the_pegs);
        }
        _ => {}
    }
}

fn alike(a: &Value, b: &Value, at: &str) {
    match (a, b) {
        (Value::Number(x), Value::Number(y)) => {
            let (x, y) = (x.as_f64().unwrap(), y.as_f64().unwrap());
            let most = 1e-5 * x.abs().max(y.abs()).max(10.0);
            assert!((x - y).abs() <= most, "{at}: {x} for {y}");
        }
        (Value::Array(x), Value::Array(y)) => {
            assert_eq!(x.len(), y.len(), "{at}");
            for (i, (x, y)) in x.iter().zip(y).enumerate() {
                alike(x, y, &format!("{at}[{i}]"));
            }
        }
        (Value::Object(x), Value::Object(y)) => {
            let keys = |m: &serde_json::Map<String, Value>| m.keys().cloned().collect::<Vec<_>>();
            assert_eq!(keys(x), keys(y), "{at}");
            for (key, value) in x {
                alike(value, &y[key], &format!("{at}.{key}"));
            }
        }
        _ => assert_eq!(a, b, "{at}"),
    }
}

/// The places of a result that carry both reckonings.
fn both_reckonings(value: &Value, out: &mut Vec<(f64, f64)>) {
    match value {
        Value::Array(list) => list.iter().for_each(|v| both_reckonings(v, out)),
        Value::Object(map) => {
            if let (Some(along), Some(peg)) = (map.get("station_m"), map.get("peg_station_m"))
                && let (Some(along), Some(peg)) = (along.as_f64(), peg.as_f64())
            {
                out.push((along, peg));
            }
            map.values().for_each(|v| both_reckonings(v, out));
        }
        _ => {}
    }
}

#[test]
fn pegs_up_equal_pegs_down_on_random_lines() {
    let mut draws = Rng::new(29);
    for _ in 0..4 {
        let points = book(&mut draws);
        let end = points.last().unwrap().0;
        let plant = plant(&mut draws);
        let mut place = || draws.between(0.1, 0.9) * end;
        let (join, vent, valve, tap) = (place(), place(), place(), place());
        let ends = (place(), place());
        let of = |up: bool| {
            let peg = |s: f64| {
                let s = s.round();
                if up { end - s } else { s }
            };
            let text = format!(
                "{SURVEY}{plant}to = \"{} m\"\n[[pipe]]\nspec = \"PE100 SDR11 90\"\n\
                 [[mark]]\nkind = \"vent\"\nat = \"{} m\"\ndevice = \"combination valve\"\nbore = \"25 mm\"\n\
                 [[fitting]]\nat = \"{} m\"\nkind = \"gate valve\"\nname = \"middle\"\n[[draw]]\nat = \"{} m\"\nflow = \"0.05 L/s\"\n\
                 [[flood]]\nfrom = \"{} m\"\nto = \"{} m\"\nspeed = \"1 m/s\"\ndepth = \"0.3 m\"\n\
                 [[gauge]]\nat = \"{} m\"\nstate = \"shut\"\npressure = \"2 bar\"\nlimit = \"0.1 bar\"\n",
                peg(join),
                peg(vent),
                peg(valve),
                peg(tap),
                peg(ends.0.min(ends.1)),
                peg(ends.0.max(ends.1) + 2.0),
                peg(vent),
            );
            let pegged: Vec<(f64, f64)> = points.iter().map(|(s, z)| (peg(*s), *z)).collect();
            result(&read(&text), &sheet(&pegged))
        };
        let (mut up, mut down) = (of(true), of(false));
        for (value, counts_up) in [(&up, true), (&down, false)] {
            let mut told = Vec::new();
            both_reckonings(value, &mut told);
            assert!(told.len() > 20, "{}", told.len());
            for (along, peg) in told {
                let meant = if counts_up { end - along } else { along };
                assert!(
                    (peg - meant).abs() < 2e-3,
                    "{along} is told as {peg}: {points:?}"
                );
            }
        }
        off_the_pegs(&mut up);
        off_the_pegs(&mut down);
        alike(&up, &down, "$");
    }
}

// ---- a shut gauge and a shut filling

#[test]
fn a_gauge_as_low_as_filling_leaves_it_is_explained_by_that_air() {
    let mut draws = Rng::new(7);
    let mut held = 0;
    for _ in 0..12 {
        let points = book(&mut draws);
        let sheet = sheet(&points);
        let text = format!(
            "{SURVEY}[site]\nlatitude = 45.0\naltitude = \"0 m\"\n{}",
            plant(&mut draws)
        );
        let found = study(&read(&text), &sheet);
        let air = found.air.as_ref().unwrap();
        // nobody stands at a cock while the gauge is read: what filling leaves by itself
        let low_m = air.shut_fill_alone.gauge_low_m;
        let line = &found.line;
        let weight = 9.80665 * 999.7;
        let under_m = line.intake.level_m - line.geometry.end_elevation_m();
        if low_m < 0.5 || under_m - low_m < 1.0 {
            continue;
        }
        held += 1;
        let gauge = format!(
            "{text}[[gauge]]\nat = \"turbine\"\nstate = \"shut\"\npressure = \"{:.4} kPa\"\nlimit = \"1 kPa\"\n",
            weight * (under_m - low_m) / 1e3
        );
        let gauged = study(&read(&gauge), &sheet);
        let air = gauged
            .gauges
            .as_ref()
            .unwrap()
            .explanations
            .iter()
            .find(|e| e.cause == GaugeCause::StandingAir)
            .unwrap();
        assert!(
            (air.head_m - low_m).abs() < 0.02 * low_m + 0.05,
            "{air:?} for {low_m}: {points:?}"
        );
        assert!(
            air.fit > 0.9 && !air.came_later,
            "{air:?} for {low_m}: {points:?}"
        );
    }
    assert!(held >= 3, "{held}");
}

// ---- check, size and compare

fn run(folder: &Path, words: &[&str]) -> Value {
    let out = program(folder).args(words).arg("--json").assert().success();
    serde_json::from_slice(&out.get_output().stdout).unwrap()
}

#[test]
fn a_size_and_a_survey_held_against_itself_say_what_the_check_says() {
    let mut draws = Rng::new(11);
    for round in 0..3 {
        let folder = room(&format!("roads-{round}"));
        let points = book(&mut draws);
        fs::write(folder.join("book.csv"), sheet(&points)).unwrap();
        fs::write(
            folder.join("site.toml"),
            format!("{SURVEY}{}", plant(&mut draws)),
        )
        .unwrap();
        let checked = run(&folder, &["check", "site.toml"]);
        let sized = run(&folder, &["size", "site.toml"]);
        let rows = sized["sizes"].as_array().unwrap();
        let declared = rows.iter().find(|r| r["declared"] == true).unwrap();
        let most = checked["strength"]
            .as_array()
            .unwrap()
            .iter()
            .filter_map(|r| r["use_high"].as_f64())
            .fold(0.0, f64::max);
        let of_size = declared["use_high"].as_f64().unwrap();
        assert!(
            (of_size - most).abs() < 1e-4,
            "{of_size} for {most}: {points:?}"
        );
        let again = run(&folder, &["compare", "site.toml", "--after", "book.csv"]);
        assert_eq!(again["moved"].as_array().unwrap().len(), 0, "{points:?}");
        let told = |result: &Value| -> Vec<(String, f64)> {
            let findings = result["findings"].as_array().unwrap().iter();
            findings
                .map(|f| {
                    (
                        f["code"].as_str().unwrap().to_owned(),
                        f["from_station_m"].as_f64().unwrap(),
                    )
                })
                .collect()
        };
        for finding in again["findings"].as_array().unwrap() {
            assert_eq!(finding["since"], "before", "{finding}: {points:?}");
        }
        assert_eq!(told(&again["before"]), told(&checked), "{points:?}");
        for key in ["cases", "start_up", "strength"] {
            alike(&again["before"][key], &checked[key], key);
        }
    }
}

// ---- names are shown, and identify nothing

/// A case called like the state in which a shut valve empties the line, and a movement called like a standard one.
#[test]
fn what_the_user_calls_a_state_makes_it_no_other_state() {
    let sheet = sheet(&[(0.0, 100.0), (150.0, 70.0), (200.0, 78.0), (400.0, 20.0)]);
    let of = |case: &str, movement: &str| {
        let text = format!(
            "{SURVEY}[intake]\nwater_level = \"0.5 m\"\n[turbine]\njets = 2\nnozzle_diameter = \"9 mm\"\n[[pipe]]\nspec = \"PE100 SDR26 110\"\n\
             [[fitting]]\nat = \"2 m\"\nkind = \"gate valve\"\nname = \"head valve\"\n\
             [[case]]\nname = \"{case}\"\njets = 1\nlevel = \"low\"\n\
             [[movement]]\nname = \"{movement}\"\nof = \"one jet\"\nduring = \"all jets\"\nfrom = 1.0\nto = 0.0\nover = \"30 s\"\n"
        );
        study(&read(&text), &sheet)
    };
    let plain = of("evening", "needle");
    let named = of("head valve shut", "one jet blocked");
    let without_names = |s: &Study| -> Vec<String> {
        steadyfall::finding::of_study(s)
            .into_iter()
            .map(|f| {
                format!("{f:?}")
                    .replace("head valve shut", "evening")
                    .replace("one jet blocked", "needle")
            })
            .collect()
    };
    assert_eq!(without_names(&plain), without_names(&named));
    let collapse = |s: &Study| {
        let found = steadyfall::finding::of_study(s);
        found
            .iter()
            .filter(|f| matches!(f.kind, Kind::CollapseWithoutAir { .. }))
            .count()
    };
    assert_eq!(collapse(&plain), collapse(&named));
}

// ---- rounding

/// Nozzles that stand micrometres higher or lower say the same of air at the jets: none, for the head there stays far above them.
#[test]
fn no_air_is_drawn_in_at_jets_where_the_head_never_falls_to_them() {
    let sheet = sheet(&[(0.0, 100.0), (120.0, 84.0), (260.0, 60.0), (400.0, 20.0)]);
    for step in 0..24 {
        let text = format!(
            "{SURVEY}[intake]\nwater_level = \"0.5 m\"\n[turbine]\njets = 2\nnozzle_diameter = \"9 mm\"\nnozzle_height = \"{:.6} m\"\n[[pipe]]\nspec = \"PE100 SDR11 90\"\n\
             [[fitting]]\nat = \"398 m\"\nkind = \"gate valve\"\nname = \"turbine valve\"\n",
            0.4 + f64::from(step) * 1e-6
        );
        let found = study(&read(&text), &sheet);
        let nozzles_m = found.line.nozzle_elevation_m();
        let mut asked = 0;
        for surge in &found.surges.as_ref().unwrap().runs {
            let least = surge.points.last().unwrap().head_min_m;
            if least.is_some_and(|head| head > nozzles_m + 1.0) {
                asked += 1;
                assert!(!surge.air_at_jets, "{} at step {step}", surge.movement);
            }
        }
        // the valve that opens from rest is the one that was told otherwise
        let opening = found
            .surges
            .as_ref()
            .unwrap()
            .named("turbine valve opening")
            .unwrap();
        assert!(!opening.air_at_jets, "step {step}");
        assert!(asked > 0);
    }
}
