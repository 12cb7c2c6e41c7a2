//! Whole plants through the program: what the pipe stands, what holds it, and that page, plan and result.json say the same.

use crate::program::{program, room};
use crate::schema;
use serde_json::Value;
use std::fs;
use std::path::Path;

/// A bench's points down a hill with turns in plan: east, north, height.
fn points() -> String {
    let corners: [(f64, f64, f64); 7] = [
        (0.0, 0.0, 300.0),
        (60.0, 0.0, 286.0),
        (110.0, 30.0, 270.0),
        (170.0, 30.0, 250.0),
        (220.0, -20.0, 236.0),
        (300.0, -20.0, 200.0),
        (340.0, 10.0, 192.0),
    ];
    let mut out = String::from("east_m,north_m,height_m\n");
    for pair in corners.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        for k in 0..8 {
            let t = f64::from(k) / 8.0;
            let at = |p: f64, q: f64| p + (q - p) * t;
            out.push_str(&format!(
                "{:.3},{:.3},{:.3}\n",
                at(a.0, b.0),
                at(a.1, b.1),
                at(a.2, b.2)
            ));
        }
    }
    out.push_str("340,10,192\n");
    out
}

const HEAD: &str = r#"format = 1
title = "Curlew Bank (invented)"
[survey]
files = ["points.csv"]
kind = "points"
of = "pipe centre"
point_sd = "0.02 m"
[site]
altitude = "300 m"
hottest_air = "24 C"
[water]
coldest = "2 C"
warmest = "12 C"
[intake]
water_level = "0.6 m"
[turbine]
jets = 2
nozzle_diameter = "14 mm"
[[fitting]]
at = "1 m"
kind = "gate valve"
name = "head valve"
rating = "16 bar"
"#;

/// Runs the check on a site made of the head and these lines; the folder of results.
fn checked(name: &str, lines: &str) -> (Value, std::path::PathBuf) {
    let folder = room(name);
    fs::write(folder.join("points.csv"), points()).unwrap();
    fs::write(folder.join("site.toml"), format!("{HEAD}{lines}")).unwrap();
    program(&folder)
        .args(["check", "site.toml", "--quiet"])
        .assert()
        .success();
    let results = folder.join("site-results");
    (read(&results), results)
}

fn read(results: &Path) -> Value {
    let result: Value =
        serde_json::from_slice(&fs::read(results.join("result.json")).unwrap()).unwrap();
    assert_eq!(schema::faults(&result), Vec::<String>::new());
    result
}

fn list<'a>(result: &'a Value, block: &str, key: &str) -> &'a Vec<Value> {
    result[block][key].as_array().unwrap()
}

#[test]
fn zones_of_a_planned_line_are_run_again_and_say_what_they_bring() {
    let (result, results) = checked(
        "zones-carried",
        "[[pipe]]\nspec = \"PE100 SDR7.4 110\"\npiece = \"12 m\"\nstate = \"planned\"\n",
    );
    let zones = &result["zones"];
    assert_eq!(zones["holds"], true);
    assert!(zones["mass_kg"].as_f64() < zones["declared_mass_kg"].as_f64());
    let cases = zones["cases"].as_array().unwrap();
    assert!(!cases.is_empty());
    for case in cases {
        assert!(case["net_head_m"].as_f64() > case["declared_net_head_m"].as_f64());
    }
    assert_ne!(zones["surge_pa"], zones["declared_surge_pa"]);
    let all = zones["list"].as_array().unwrap();
    assert_eq!(all[0]["from_station_m"], 0.0);
    for pair in all.windows(2) {
        assert_eq!(pair[0]["to_station_m"], pair[1]["from_station_m"]);
    }
    let page = fs::read_to_string(results.join("report.html")).unwrap();
    assert!(
        page.contains("Pipe classes by section") && page.contains("Recalculated with their own")
    );
}

#[test]
fn a_drop_in_doubt_gets_no_class_and_the_reason() {
    let (result, _) = checked(
        "zones-doubt",
        "[[pipe]]\nspec = \"PE100 SDR7.4 110\"\nstate = \"planned\"\n",
    );
    assert!(result["zones"].is_object());
    let folder = room("zones-doubt-2");
    fs::write(folder.join("points.csv"), points()).unwrap();
    let rough = HEAD.replace("point_sd = \"0.02 m\"", "point_sd = \"9 m\"");
    fs::write(
        folder.join("site.toml"),
        format!("{rough}[[pipe]]\nspec = \"PE100 SDR7.4 110\"\nstate = \"planned\"\n"),
    )
    .unwrap();
    program(&folder)
        .args(["check", "site.toml", "--quiet"])
        .assert()
        .success();
    let result = read(&folder.join("site-results"));
    assert!(result.get("zones").is_none());
    assert!(result["strength"][0].get("lightest_spec").is_none());
    let why = result["not_computed"].as_array().unwrap();
    assert!(why.iter().any(|n| n["what"] == "zones"), "{why:?}");
}

#[test]
fn a_fused_line_gets_no_block_and_a_ringed_one_gets_them_at_every_bend() {
    let ground = "[[ground]]\nfrom = \"0 m\"\nto = \"390 m\"\nsoil = \"gravel\"\n";
    let (fused, _) = checked(
        "held-fused",
        &format!("[[pipe]]\nspec = \"PE100 SDR9 110\"\njoint = \"fused\"\n{ground}"),
    );
    assert!(list(&fused, "anchors", "blocks").is_empty());
    let unheld = |r: &Value| {
        let all = r["findings"].as_array().unwrap();
        all.iter().filter(|f| f["kind"] == "unrestrained").count()
    };
    assert_eq!(unheld(&fused), 0);
    assert_eq!(list(&fused, "anchors", "ends").len(), 2);
    let loops: Vec<&Value> = fused["marks"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|m| m["kind"] == "loop")
        .collect();
    assert!(!loops.is_empty() && loops.iter().all(|m| m["slack_m"].as_f64().unwrap() > 0.0));

    let (ringed, results) = checked(
        "held-ringed",
        &format!("[[pipe]]\nspec = \"DIN 8062 PN16 110\"\njoint = \"ring\"\n{ground}"),
    );
    let thrusts = list(&ringed, "anchors", "thrusts");
    let bends = thrusts.iter().filter(|t| t["at"] == "bend").count();
    assert!(bends >= 5, "{bends}");
    assert!(
        thrusts
            .iter()
            .any(|t| t["towards"].as_array().unwrap().iter().any(|w| w == "up"))
    );
    assert!(unheld(&ringed) >= bends);
    let inside = |b: &&Value| b["station_m"].as_f64().unwrap() < 389.0;
    for block in list(&ringed, "anchors", "blocks").iter().filter(inside) {
        assert!(block["table"].is_string() && block["soil"] == "gravel");
        assert!(block["sideways_pa"].as_f64() <= block["highest_table_pa"].as_f64());
    }
    // the plan draws every thrust with a force of result.json
    let plan = fs::read_to_string(results.join("plan.svg")).unwrap();
    assert!(plan.contains("thrust on a thrust block"));
    let arrows = plan.matches(" pushes ").count();
    assert!(arrows >= bends, "{arrows} arrows for {bends} bends");
    for thrust in thrusts.iter().filter(|t| t["at"] == "bend") {
        let kn = format!("{:.2} kN", thrust["force_high_n"].as_f64().unwrap() / 1e3);
        assert!(plan.contains(&kn), "{kn}");
    }
    // a caution stands beside each kind of force
    let page = fs::read_to_string(results.join("report.html")).unwrap();
    for words in [
        "an engineer on site",
        "first estimate",
        "Test a stake or bolt with a pull",
        "free to slide and snake",
    ] {
        assert!(page.contains(words), "{words}");
    }
}

#[test]
fn a_crew_s_turns_run_through_everything_wanted_once() {
    let (result, _) = checked(
        "held-turns",
        "[[pipe]]\nspec = \"DIN 8062 PN16 110\"\njoint = \"ring\"\nstate = \"planned\"\n",
    );
    let marks = result["marks"].as_array().unwrap();
    let mut turns: Vec<u64> = marks
        .iter()
        .filter(|m| m["state"] == "wanted")
        .map(|m| m["turn"].as_u64().unwrap())
        .collect();
    turns.sort_unstable();
    let want: Vec<u64> = (1..=turns.len() as u64).collect();
    assert_eq!(turns, want);
}

#[test]
fn thin_pipe_below_a_shut_valve_lives_by_a_vent_that_is_named() {
    let thin = "[[pipe]]\nspec = \"PE100 SDR26 110\"\n";
    let (bare, _) = checked("held-thin", thin);
    let needs = list(&bare, "outside", "needs_air");
    assert_eq!(needs.len(), 1);
    assert!(!needs[0]["vents"].as_array().unwrap().is_empty());
    let collapse = |r: &Value| {
        let all = r["findings"].as_array().unwrap();
        all.iter()
            .any(|f| f["kind"] == "collapse without air" && f["severity"] == "stop")
    };
    assert!(collapse(&bare));
    assert_eq!(bare["strength"][0]["outside_cause"], "head valve shut");
    // a vent above the valve does nothing for what lies below it; one below does
    let vent = |at: &str| {
        format!(
            "{thin}[[mark]]\nkind = \"vent\"\nat = \"{at}\"\ndevice = \"vacuum valve\"\nbore = \"80 mm\"\nstate = \"works\"\n"
        )
    };
    let (above, _) = checked("held-thin-above", &vent("0.4 m"));
    assert!(collapse(&above));
    let (below, _) = checked("held-thin-below", &vent("1.5 m"));
    assert_ne!(below["strength"][0]["outside_cause"], "head valve shut");
}

#[test]
fn filling_and_test_stand_beside_what_is_in_use() {
    let (result, _) = checked("held-test", "[[pipe]]\nspec = \"PE100 SDR9 110\"\n");
    let reach = &result["strength"][0];
    let of = |key: &str| reach[key].as_f64().unwrap();
    assert!(of("filling_pa") > of("static_pa"));
    assert!(of("test_pa") > of("static_pa") && of("test_pa") <= 1.5 * of("static_pa") + 1.0);
    assert!(of("test_use_high") <= 1.0);
    let work = result["work"].as_array().unwrap();
    assert!(
        work.iter()
            .any(|w| w["job"] == "pressure test"
                && w["text"].as_str().unwrap().contains("hand pump"))
    );
    let thrusts = list(&result, "anchors", "thrusts");
    let head: Vec<&Value> = thrusts.iter().filter(|t| t["at"] == "head valve").collect();
    assert!(
        head.iter()
            .any(|t| t["state"] == "pressure test" && t["towards"][0] == "uphill")
    );
}
