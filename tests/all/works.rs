//! Screen, sand, commissioning and metals in a whole run: what is declared is told everywhere, what is not leaves no trace.

use serde_json::Value;
use std::collections::BTreeMap;
use steadyfall::export::sheets;
use steadyfall::json;
use steadyfall::line;
use steadyfall::report::account::Report;
use steadyfall::site;
use steadyfall::study::{Study, read_route_from};
use steadyfall::survey;
use steadyfall::unit::Units;

/// 300 m of pipe that falls by 30 m, two jets, and what is said besides.
fn run(intake: &str, more: &str) -> Report {
    let text = format!(
        "format = 1\ntitle = \"works\"\n[survey]\nfiles = [\"line.csv\"]\nkind = \"points\"\nof = \"pipe centre\"\nfrom = \"intake\"\ntaped = \"slope\"\npoint_sd = \"0.005 m\"\n[site]\nlatitude = 46.0\naltitude = \"500 m\"\n[water]\ntemperature = \"8 C\"\n[intake]\nwater_level = \"1 m\"\n{intake}\n[[pipe]]\nspec = \"PE100 SDR11 90\"\njoint = \"fused\"\npiece = \"100 m\"\njoints_at = [\"100 m\", \"200 m\"]\nstate = \"laid\"\n[turbine]\njets = 2\nnozzle_diameter = \"9 mm\"\n{more}"
    );
    let site = site::read_text("site.toml", &text).unwrap_or_else(|f| panic!("{}\n{text}", f[0]));
    let sheet = "station_m,height_m\n0,500\n300,470\n";
    let route = read_route_from(&site, &|_, kind, options| {
        survey::read_bytes(sheet.as_bytes(), "line.csv", kind, options)
    })
    .unwrap();
    let line = line::build(&site, &route).unwrap_or_else(|f| panic!("{}", f[0]));
    Report::of(Study::of(route, line), Units::Metric)
}

fn files(account: &Report) -> BTreeMap<String, String> {
    let text = |bytes: Vec<u8>| String::from_utf8_lossy(&bytes).into_owned();
    sheets(account)
        .unwrap()
        .into_iter()
        .map(|(name, bytes)| (name, text(bytes)))
        .collect()
}

const BLOCKS: [&str; 4] = ["screen", "grit", "pressure_test", "metals"];

#[test]
fn a_site_that_says_nothing_is_told_nothing() {
    let account = run("", "");
    let result = json::of_check(&account);
    assert!(BLOCKS.iter().all(|b| result.get(*b).is_none()));
    let files = files(&account);
    assert!(!files.contains_key("as-built.csv"));
    for heading in ["Commissioning record", "Metals and corrosion"] {
        assert!(!files["report.html"].contains(heading), "{heading}");
    }
}

#[test]
fn what_is_said_stands_in_every_place() {
    let more = "[screen]\nkind = \"flat bars\"\nopening = \"4 mm\"\nbar = \"3 mm\"\nwidth = \"0.5 m\"\nlength = \"0.4 m\"\nslope = \"60 deg\"\n[grit]\ngrain = \"0.3 mm\"\n[basin]\nwidth = \"1 m\"\nlength = \"3 m\"\ndepth = \"0.6 m\"\n[pressure_test]\nloading = \"12 min\"\ntimes = [\"12 min\", \"84 min\", \"180 min\"]\npressures = [\"9.0 bar\", \"8.35 bar\", \"8.079 bar\"]\nbackfilled = true\n[record]\nby = \"A. Builder\"\n[corrosion]\nsoil_ohm_m = 40\n";
    let account = run("", more);
    let result = json::of_check(&account);
    assert!(BLOCKS.iter().all(|b| result[*b].is_object()));
    assert_eq!(crate::schema::faults(&result), Vec::<String>::new());
    assert_eq!(result["pressure_test"]["verdict"], "passes");
    assert_eq!(result["metals"]["soil"], "corrosive");
    let files = files(&account);
    let page = &files["report.html"];
    for words in [
        "Commissioning record",
        "Metals and corrosion",
        "Done by: A. Builder",
        "Screen openings: 4.0 mm",
        "As built: from the survey after laying",
    ] {
        assert!(page.contains(words), "{words}");
    }
    // both ends of the pipe and the two joints that were declared
    let rows: Vec<&str> = files["as-built.csv"].lines().collect();
    assert_eq!(rows.len(), 5, "{rows:?}");
    assert_eq!(rows.iter().filter(|r| r.contains("joint")).count(), 2);
}

/// The sample Heron Beck: each of the topics of a handbook's checklist, judged, and what would be bought were nothing built yet.
#[test]
fn one_sample_shows_every_topic() {
    use crate::program::{home, program, room};
    use std::fs;
    let dir = room("heron");
    for file in ["points.csv", "stream-salt.csv", "stream-weir.csv"] {
        fs::copy(
            home(&format!("sample-surveys/heron-beck/{file}")),
            dir.join(file),
        )
        .unwrap();
    }
    let text = fs::read_to_string(home("sample-surveys/heron-beck/site.toml")).unwrap();
    let check = |text: &str| -> Value {
        fs::write(dir.join("site.toml"), text).unwrap();
        program(&dir)
            .args(["check", "site.toml", "--quiet"])
            .assert()
            .success();
        let out = fs::read(dir.join("site-results/result.json")).unwrap();
        serde_json::from_slice(&out).unwrap()
    };
    let result = check(&text);
    assert_eq!(crate::schema::faults(&result), Vec::<String>::new());
    // The truth that its points were made from.
    let drop_m = result["route"]["drop_m"].as_f64().unwrap();
    assert!((drop_m - 46.4).abs() < 0.03, "{drop_m}");
    let movements: Vec<&str> = result["surges"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|s| s["movement"].as_str())
        .collect();
    for name in ["runaway, less flow", "runaway, then closing"] {
        assert!(movements.contains(&name), "{movements:?}");
    }
    let afloat = result["anchors"]["afloat"].as_array().unwrap();
    assert!(
        afloat[0]["float_safety"].as_f64().unwrap() > 1.3,
        "{afloat:?}"
    );
    let trenches = result["outside"]["trenches"].as_array().unwrap();
    assert!(
        trenches.iter().any(|t| t["deflection_share"].is_number()),
        "{trenches:?}"
    );
    assert_eq!(result["stream"]["measured"].as_array().unwrap().len(), 4);
    assert_eq!(result["pressure_test"]["verdict"], "passes");
    for block in ["screen", "grit", "metals"] {
        assert!(result[block].is_object(), "{block}");
    }
    let page = fs::read_to_string(dir.join("site-results/report.html")).unwrap();
    for words in [
        "the runner accelerates to 1.3 to 1.8 times its speed",
        "As built: from the survey after laying",
        "Measured stream flow",
        "Metals and corrosion",
    ] {
        assert!(page.contains(words), "{words}");
    }
    assert!(dir.join("site-results/as-built.csv").is_file());
    // Nothing of it is built: the intake, the trench and what lies in it are rows of the list.
    let planned = check(&text.replace("state = \"laid\"", "state = \"planned\""));
    let rows = planned["laying"]["shopping"].as_array().unwrap();
    let count = |item: &str| -> f64 {
        let row = rows.iter().find(|r| r["item"] == item);
        row.unwrap_or_else(|| panic!("{item} is not listed"))["count"]
            .as_f64()
            .unwrap()
    };
    // 0.9 m of bars of 4 mm, 5 mm apart at most: 100 of them leave 101 openings of 4.95 mm.
    assert_eq!(count("screen bar, by its thickness"), 100.0);
    assert_eq!(count("intake screen, by its opening"), 1.0);
    assert!((count("settling basin, water and sand") - 1.2 * 4.5 * 1.0).abs() < 1e-9);
    for item in [
        "sand for bedding and surround",
        "crushed stone for bedding and surround",
        "marker tape",
        "trench to dig",
    ] {
        assert!(count(item) > 0.0, "{item}");
    }
}

fn flow(result: &Value) -> f64 {
    let cases = result["cases"].as_array().unwrap();
    let all = cases.iter().find(|c| c["name"] == "all jets").unwrap();
    all["flow_m3_per_s"].as_f64().unwrap()
}

/// A screen's bars and size take head in every state, unless the user knows better.
#[test]
fn a_small_screen_takes_flow_and_an_own_coefficient_rules() {
    let small = "[screen]\nkind = \"flat bars\"\nopening = \"4 mm\"\nbar = \"4 mm\"\nwidth = \"60 mm\"\nlength = \"60 mm\"\n";
    let of = |intake: &str, more: &str| json::of_check(&run(intake, more));
    let (without, with) = (flow(&of("", "")), flow(&of("", small)));
    assert!(with < without - 1e-6, "{with} {without}");
    let own = of("screen_k = 0.0", small);
    assert!((flow(&own) - without).abs() < 1e-9);
    let lost = of("", small)["screen"].clone();
    let (clean, half) = (
        lost["clean_m"].as_f64().unwrap(),
        lost["half_blocked_m"].as_f64().unwrap(),
    );
    assert!((half / clean - 4.0).abs() < 0.01, "{clean} {half}");
}
