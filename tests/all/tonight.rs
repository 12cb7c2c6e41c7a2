//! What to do tonight, as a user reads it: whether it may run, what the surveys cannot show, what forbids running whatever the storm did.

use crate::program::{program, room};
use serde_json::Value;
use std::f64::consts::PI;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

/// A straight pipe of 300 m down an even slope, moved by so much to the left and upwards in the middle of a reach.
struct Slid {
    from_m: f64,
    to_m: f64,
    left_m: f64,
    up_m: f64,
}

const STILL: Slid = Slid {
    from_m: 140.0,
    to_m: 170.0,
    left_m: 0.0,
    up_m: 0.0,
};

impl Slid {
    /// East, north and height at a station.
    fn at(&self, s: f64) -> (f64, f64, f64) {
        let inside = s > self.from_m && s < self.to_m;
        let along = (s - self.from_m) / (self.to_m - self.from_m);
        let share = if inside {
            (PI * along).sin().powi(2)
        } else {
            0.0
        };
        // A shallow bow keeps the fit from sliding along the line.
        let bow = 12.0 * (PI * s / 300.0).sin();
        let height = 480.0 - 0.18 * s - 0.5 * (s / 30.0).sin();
        (
            0.98 * s,
            bow + self.left_m * share,
            height + self.up_m * share,
        )
    }

    /// Positions every 3 m between two stations.
    fn positions(&self, from_m: f64, to_m: f64) -> String {
        let mut text = String::from("east_m,north_m,height_m,name\n");
        let mut s = from_m;
        while s <= to_m + 1e-9 {
            let (east, north, up) = self.at(s);
            let name = if (s - 153.0).abs() < 0.1 {
                "red post"
            } else {
                ""
            };
            let _ = writeln!(text, "{east:.3},{north:.3},{up:.3},{name}");
            s += 3.0;
        }
        text
    }

    /// Heights by station alone.
    fn heights(&self) -> String {
        let rows = (0..=100).map(|i| f64::from(i) * 3.0);
        rows.fold(String::from("station_m,height_m\n"), |mut text, s| {
            let _ = writeln!(text, "{s:.0},{:.3}", self.at(s).2);
            text
        })
    }
}

fn site(pipe: &str, before: &str) -> String {
    format!(
        r#"format = 1
title = "Larch Syke (invented)"
[survey]
files = ["{before}"]
kind = "points"
of = "pipe centre"
from = "intake"
taped = "slope"
point_sd = "0.01 m"
[site]
latitude = 46.0
altitude = "450 m"
[water]
temperature = "8 C"
[intake]
water_level = "0.6 m"
kind = "box"
[[pipe]]
{pipe}
state = "laid"
[[mark]]
kind = "anchor"
at = "152 m"
strength = "3 kN"
[[mark]]
kind = "vent"
at = "4 m"
device = "standpipe"
bore = "25 mm"
top = "2.5 m"
[turbine]
jets = 2
nozzle_diameter = "10 mm"
[[ground]]
from = "0 m"
to = "300 m"
soil = "sand"
"#
    )
}

const FUSED: &str = "spec = \"PE100 SDR11 90\"\njoint = \"fused\"\npiece = \"100 m\"\ncoil = true";
const RINGS: &str = "spec = \"PVC-U ISO 1452 PN 16 DN/OD 90\"\njoint = \"ring\"\npiece = \"6 m\"";

fn compared(dir: &Path, pipe: &str, before: &str, after: &str) -> Value {
    fs::write(dir.join("before.csv"), before).unwrap();
    fs::write(dir.join("after.csv"), after).unwrap();
    fs::write(dir.join("site.toml"), site(pipe, "before.csv")).unwrap();
    let run = program(dir)
        .args(["compare", "site.toml", "--after", "after.csv", "--json"])
        .assert()
        .success();
    let result: Value = serde_json::from_slice(&run.get_output().stdout).unwrap();
    let wrong = crate::schema::faults(&result);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    result
}

fn lines(result: &Value) -> Vec<&str> {
    let tonight = result["storm"]["tonight"].as_array().unwrap();
    tonight.iter().map(|t| t.as_str().unwrap()).collect()
}

fn place(lines: &[&str], word: &str) -> Option<usize> {
    lines.iter().position(|l| l.contains(word))
}

#[test]
fn positions_that_show_nothing_let_it_run_as_before() {
    let all = STILL.positions(0.0, 300.0);
    let result = compared(&room("tonight-same"), FUSED, &all, &all);
    let told = lines(&result);
    assert!(
        told[0].starts_with("These surveys show no change. You may operate as before."),
        "{told:?}"
    );
    let sight = &result["storm"]["sight"];
    assert!(sight["up_m"].as_f64().unwrap() < 0.3 && sight["side_m"].as_f64().unwrap() < 0.3);
}

#[test]
fn the_same_survey_again_changes_nothing_and_orders_nothing() {
    // What is found on the samples stood before: no order of tonight comes from it, and it is told as old.
    for (folder, survey) in [
        ("juniper-draw", "level-book.csv"),
        ("otter-gill", "walk.gpx"),
    ] {
        let dir = room(&format!("tonight-again-{folder}"));
        let from = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("sample-surveys")
            .join(folder);
        for file in ["site.toml", survey, "stream-weir.csv"] {
            if from.join(file).exists() {
                fs::copy(from.join(file), dir.join(file)).unwrap();
            }
        }
        let run = program(&dir)
            .args(["compare", "site.toml", "--after", survey, "--json"])
            .assert()
            .success();
        let result: Value = serde_json::from_slice(&run.get_output().stdout).unwrap();
        let told = lines(&result);
        assert_eq!(told.len(), 2, "{told:?}");
        assert!(told[0].starts_with("Walk along the pipe"), "{told:?}");
        assert!(
            told[1].contains("nothing changed, and you may operate as before"),
            "{told:?}"
        );
        let found = result["findings"].as_array().unwrap();
        assert!(found.len() > 5);
        for finding in found {
            assert_eq!(finding["since"], "before", "{finding}");
        }
        let worse = result["storm"]["consequences"].as_array().unwrap();
        assert!(worse.iter().all(|c| c["worse"] == false), "{worse:?}");
        // a finding of the line before the storm has no such word
        assert_eq!(result["before"]["findings"][0].get("since"), None);
    }
}

#[test]
fn heights_alone_send_somebody_along_the_line_first() {
    // Two metres aside and level: heights by station see nothing of it.
    let slid = Slid {
        left_m: 2.0,
        ..STILL
    };
    let result = compared(
        &room("tonight-aside"),
        FUSED,
        &STILL.heights(),
        &slid.heights(),
    );
    let told = lines(&result);
    assert!(
        told[0].starts_with("Walk along the pipe") && told[0].contains("moved sideways"),
        "{told:?}"
    );
    assert!(
        told[1].starts_with("If that walk shows nothing new"),
        "{told:?}"
    );
    assert_eq!(result["storm"]["sight"].get("side_m"), None);
}

#[test]
fn what_was_not_surveyed_again_is_named() {
    let all = STILL.positions(0.0, 300.0);
    let part = STILL.positions(90.0, 210.0);
    let result = compared(&room("tonight-part"), FUSED, &all, &part);
    let told = lines(&result);
    assert!(
        told[0].contains("0 to 90 m and ") && told[0].contains("were not surveyed again"),
        "{told:?}"
    );
    assert!(place(&told, "may operate as before") == Some(1), "{told:?}");
}

#[test]
fn a_hold_on_moved_ground_comes_before_running() {
    let slid = Slid {
        left_m: 1.2,
        up_m: -0.6,
        ..STILL
    };
    let (all, now) = (STILL.positions(0.0, 300.0), slid.positions(0.0, 300.0));
    let result = compared(&room("tonight-hold"), FUSED, &all, &now);
    let told = lines(&result);
    assert!(
        told[0].starts_with("Operate only when 2 end anchors are installed. When the restraints are sound again where the pipe moved, you may operate"),
        "{told:?}"
    );
    assert!(place(&told, "the anchor at 15") > place(&told, "Do not stand on"));
    // A place of the same name in both surveys says how far it went down the line.
    let moved = result["moved"].as_array().unwrap();
    let up = |m: &Value| m["up_m"].as_f64().unwrap_or(0.0);
    let moved = moved.iter().min_by(|a, b| up(a).total_cmp(&up(b))).unwrap();
    assert!(moved["along_m"].as_f64().unwrap().abs() < 1.0, "{moved}");
    assert!(moved["along_sd_m"].as_f64().unwrap() > 0.0);
}

#[test]
fn what_forbids_running_forbids_it_tonight_too() {
    // Rings that nothing holds: the plant may not run, storm or no storm.
    let all = STILL.positions(0.0, 300.0);
    let result = compared(&room("tonight-rings"), RINGS, &all, &all);
    assert_eq!(result["verdict"], "stop");
    let told = lines(&result);
    assert!(
        told[0].starts_with("Do not fill or operate the pipeline")
            && told[0].ends_with("It existed before."),
        "{told:?}"
    );
    assert_eq!(place(&told, "may operate"), None, "{told:?}");
}

/// A book of heights by station with named posts, the part below `from_m` carried `by_m` down the line.
fn posts(from_m: f64, by_m: f64, sunk: (f64, f64, f64)) -> String {
    let mut text = String::from("station_m,height_m,name\n");
    for i in 0..=60 {
        let s = f64::from(i) * 5.0;
        let name = if i % 4 == 2 {
            format!("post {i}")
        } else {
            String::new()
        };
        let down = if s > sunk.0 && s < sunk.1 {
            sunk.2
        } else {
            0.0
        };
        let shift = if s > from_m { by_m } else { 0.0 };
        let _ = writeln!(text, "{:.2},{:.3},{name}", s + shift, STILL.at(s).2 - down);
    }
    text
}

#[test]
fn a_pulled_joint_between_two_posts_is_found_and_the_pipe_keeps_its_ends() {
    const PLAIN: (f64, f64, f64) = (0.0, 0.0, 0.0);
    let (all, now) = (posts(999.0, 0.0, PLAIN), posts(142.0, 0.4, PLAIN));
    let result = compared(&room("tonight-pulled"), RINGS, &all, &now);
    let moved = result["moved"].as_array().unwrap();
    assert_eq!(moved.len(), 1, "{moved:?}");
    let figure = |key: &str| moved[0][key].as_f64().unwrap();
    assert!(
        figure("from_station_m") > 129.5 && figure("to_station_m") < 150.5,
        "{moved:?}"
    );
    assert!(
        (figure("longer_m") - 0.4).abs() < 0.01 && figure("longer_sd_m") < 0.12,
        "{moved:?}"
    );
    let told = lines(&result);
    assert!(
        told[0].contains("burst, collapse or separate near 138 m"),
        "{told:?}"
    );
    assert!(place(&told, "Inspect every joint").is_some(), "{told:?}");
    // Stations that part by two decimetres do not cut the pipe short.
    let length = |r: &Value| r["route"]["length_m"].as_f64().unwrap();
    assert!((length(&result) - length(&result["before"])).abs() < 0.05);
}

#[test]
fn a_slide_of_most_of_the_line_is_seen_from_ground_that_stood_still() {
    let all = posts(999.0, 0.0, (0.0, 0.0, 0.0));
    let sunk = posts(999.0, 0.0, (90.0, 290.0, 1.0));
    let dir = room("tonight-most");
    for (name, text) in [("before.csv", &all), ("after.csv", &sunk)] {
        fs::write(dir.join(name), text).unwrap();
    }
    fs::write(dir.join("site.toml"), site(FUSED, "before.csv")).unwrap();
    let run = program(&dir)
        .args(["compare", "site.toml", "--after", "after.csv", "--json"])
        .args(["--stable", "0 m to 85 m"])
        .assert()
        .success();
    let result: Value = serde_json::from_slice(&run.get_output().stdout).unwrap();
    let moved = result["moved"].as_array().unwrap();
    let down = moved.iter().find(|m| m["up_m"].as_f64().unwrap() < -0.85);
    let down = down.unwrap_or_else(|| panic!("{moved:?}"));
    assert_eq!(down["verdict"], "moved");
    assert!(
        down["from_station_m"].as_f64().unwrap() < 100.0
            && down["to_station_m"].as_f64().unwrap() > 280.0
    );
}
