//! `compare` as a user runs it: a survey against itself, backwards, a part with its own stations, what it writes and what it asks.

use crate::program::{home, program, room, storm_folder};
use serde_json::Value;
use std::fs;
use std::path::Path;

fn compare(dir: &Path, sample: &str, after: &Path, more: &[&str]) -> assert_cmd::assert::Assert {
    let site = home(&format!("sample-surveys/{sample}/site.toml"));
    program(dir)
        .args([
            "compare",
            site.to_str().unwrap(),
            "--after",
            after.to_str().unwrap(),
            "--json",
        ])
        .args(more)
        .assert()
}

fn told(out: assert_cmd::assert::Assert) -> Value {
    let result: Value = serde_json::from_slice(&out.success().get_output().stdout).unwrap();
    let mut wrong = crate::schema::faults(&result);
    crate::schema::ill_figures(&result, "$", &mut wrong);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    result
}

/// Nothing moved, no climb is new or worse, none is gone.
fn nothing_changed(result: &Value) {
    assert_eq!(
        result["moved"].as_array().unwrap().len(),
        0,
        "{}",
        result["moved"]
    );
    for climb in result["storm"]["climbs"].as_array().unwrap() {
        assert_eq!(climb["what"], "as before", "{climb}");
    }
}

#[test]
fn a_survey_against_itself_and_backwards_changes_nothing() {
    let dir = room("itself");
    let walk = home("sample-surveys/otter-gill/walk.gpx");
    nothing_changed(&told(compare(&dir, "otter-gill", &walk, &[])));
    // The same walks with every track turned round, as another receiver would have them: no times, another datum.
    let text = fs::read_to_string(&walk).unwrap();
    let head = &text[..text.find("<trk>").unwrap()];
    let mut turned = head.to_owned();
    for track in text.split("<trk>").skip(1) {
        let points: Vec<&str> = track
            .split("<trkpt")
            .skip(1)
            .map(|p| &p[..p.find("</trkpt>").unwrap()])
            .collect();
        turned.push_str("<trk><trkseg>");
        for point in points.iter().rev() {
            let (a, rest) = point.split_once("<ele>").unwrap();
            let (height, _) = rest.split_once("</ele>").unwrap();
            let height: f64 = height.parse().unwrap();
            turned.push_str(&format!("<trkpt{a}<ele>{:.2}</ele></trkpt>", height + 11.0));
        }
        turned.push_str("</trkseg></trk>");
    }
    turned.push_str("</gpx>");
    let file = dir.join("turned.gpx");
    fs::write(&file, turned).unwrap();
    let mut result = told(compare(&dir, "otter-gill", &file, &[]));
    // The sample's heights are those of the air's pressure, these are the receiver's own: what may have moved between the two is no movement.
    let moved = result["moved"].as_array_mut().unwrap();
    moved.retain(|m| m["verdict"] != "cannot tell");
    nothing_changed(&result);
    let offset = result["storm"]["height_offset_m"].as_f64().unwrap();
    assert!((offset - 11.0).abs() < 0.5, "{offset}");
}

const HEAD: &str = "station_ft,bs_ft,is_ft,fs_ft\n";

#[test]
fn a_levelled_part_is_placed_by_its_pegs_by_its_shape_or_asked_for() {
    let dir = room("part");
    let write = |name: &str, rows: &str| {
        let file = dir.join(name);
        fs::write(&file, format!("{HEAD}{rows}")).unwrap();
        file
    };
    let foot = 0.3048;
    // The hump of the sample, levelled again on its pegs: as it was.
    let pegs = write(
        "pegs.csv",
        "6+80,8.15,,\n7+00,,8.99,\n7+20,,8.60,\n7+40,,8.19,\n7+60,,,8.97\n",
    );
    let result = told(compare(&dir, "juniper-draw", &pegs, &[]));
    nothing_changed(&result);
    assert_eq!(result["storm"]["aligned"], "by the stations of both books");
    assert!((result["storm"]["covers_from_m"].as_f64().unwrap() - 680.0 * foot).abs() < 0.1);
    // The same from 0: its shape is the only one like it.
    let zero = write(
        "zero.csv",
        "0+00,8.15,,\n0+20,,8.99,\n0+40,,8.60,\n0+60,,8.19,\n0+80,,,8.97\n",
    );
    let result = told(compare(&dir, "juniper-draw", &zero, &[]));
    assert_eq!(result["storm"]["aligned"], "by the shape of the heights");
    assert!((result["storm"]["covers_from_m"].as_f64().unwrap() - 680.0 * foot).abs() < 0.5);
    // The hump half a foot higher: worse, and the stakes say so.
    let worse = write(
        "worse.csv",
        "6+80,8.15,,\n7+00,,8.99,\n7+20,,8.35,\n7+40,,7.69,\n7+60,,,8.97\n",
    );
    let result = told(compare(&dir, "juniper-draw", &worse, &[]));
    let climbs = result["storm"]["climbs"].as_array().unwrap();
    assert!(climbs.iter().any(|c| c["what"] == "worse"), "{climbs:?}");
    // An even slope from 0 could lie anywhere: the program asks, and takes the answer.
    let even = write("even.csv", "0+00,0.98,,\n0+40,,5.51,\n0+80,,,10.19\n");
    let out = compare(&dir, "juniper-draw", &even, &[]).code(2);
    let said = String::from_utf8(out.get_output().stderr.clone()).unwrap();
    assert!(
        said.contains("along the pipe is not known") && said.contains("--begins-at"),
        "{said}"
    );
    let result = told(compare(
        &dir,
        "juniper-draw",
        &even,
        &["--begins-at", "220 ft"],
    ));
    assert_eq!(result["storm"]["aligned"], "as given");
    assert!((result["storm"]["covers_from_m"].as_f64().unwrap() - 220.0 * foot).abs() < 0.1);
    nothing_changed(&result);
    let out = compare(&dir, "juniper-draw", &even, &["--begins-at", "9000 ft"]).code(2);
    let said = String::from_utf8(out.get_output().stderr.clone()).unwrap();
    assert!(said.contains("not on the pipe"), "{said}");
    let out = compare(&dir, "juniper-draw", &pegs, &["--stable", "upper half"]).code(2);
    let said = String::from_utf8(out.get_output().stderr.clone()).unwrap();
    assert!(said.contains("not a section"), "{said}");
}

#[test]
fn the_folder_holds_the_overlay_the_stakes_and_the_page() {
    let out = storm_folder("overlay");
    let read =
        |name: &str| fs::read_to_string(out.join(name)).unwrap_or_else(|e| panic!("{name}: {e}"));
    let result: Value = serde_json::from_str(&read("result.json")).unwrap();
    assert!(read("moved.svg").contains("as it lay before"));
    assert!(read("moved-2.svg").contains("regraded"));
    let page = read("report.html");
    assert!(page.contains("id=\"tonight\"") && page.matches("<svg").count() >= 5);
    // Every stake of the sheet is in the result, and those of the first plan are waypoints.
    let plans = result["regrade"].as_array().unwrap();
    let stakes: usize = plans
        .iter()
        .map(|p| p["stakes"].as_array().unwrap().len())
        .sum();
    assert_eq!(read("stakes.csv").lines().count(), stakes + 1);
    let gpx = read("marks.gpx");
    let first = plans[0]["stakes"].as_array().unwrap().len();
    assert!(gpx.matches("<name>S").count() >= first, "{first}");
}

/// The hump of the sample's storm, levelled over 222 to 278 m on its own truth: it rises by 0.58 m from 238 to 246 m.
const LEVELLED: &str = "station_m,bs_m,is_m,fs_m\n222,3.000,,\n226,3.000,,3.622\n230,3.000,,3.627\n234,3.000,,3.622\n238,3.000,,3.246\n242,3.000,,2.704\n246,3.000,,2.712\n250,3.000,,3.249\n254,3.000,,4.014\n258,3.000,,4.549\n262,3.000,,4.552\n266,3.000,,4.013\n270,3.000,,3.632\n274,3.000,,3.635\n278,,,3.633\n";

#[test]
fn what_the_walk_could_not_tell_is_told_once_the_reach_is_levelled() {
    let dir = room("levelled");
    let after = home("sample-surveys/otter-gill/after-storm.gpx");
    let walked = told(compare(&dir, "otter-gill", &after, &[]));
    let near = |list: &Value, key: &str| -> Vec<Value> {
        let all = list.as_array().unwrap();
        let here = |v: &&Value| (225.0..262.0).contains(&v[key].as_f64().unwrap());
        all.iter().filter(here).cloned().collect()
    };
    // The walk says that the reach moved, by a metre or two, and to level it: digging by it is not sure to make it fall.
    let by_walk = near(&walked["moved"], "from_station_m");
    assert!(by_walk[0]["up_sd_m"].as_f64().unwrap() > 0.2, "{by_walk:?}");
    let first = walked["storm"]["level_first"].as_array().unwrap();
    let asked = first.iter().any(|r| {
        r["from_station_m"].as_f64().unwrap() < 246.0 && r["to_station_m"].as_f64().unwrap() > 246.0
    });
    assert!(asked, "{first:?}");
    // Only that reach levelled, merged with the walk.
    fs::copy(&after, dir.join("after-storm.gpx")).unwrap();
    fs::write(dir.join("part.csv"), LEVELLED).unwrap();
    let toml = dir.join("later.toml");
    fs::write(
        &toml,
        "format = 1\n[survey]\nfiles = [\"after-storm.gpx\"]\nof = \"pipe centre\"\nintake = \"intake\"\nturbine = \"powerhouse\"\n\
         [[survey.part]]\nfiles = [\"part.csv\"]\nkind = \"level\"\ntaped = \"slope\"\nfrom = \"222 m\"\nto = \"278 m\"\nreplaces = true\n",
    )
    .unwrap();
    let merged = told(compare(&dir, "otter-gill", &toml, &[]));
    // Or held against the earlier walk by itself.
    let part = dir.join("part.csv");
    let alone = told(compare(&dir, "otter-gill", &part, &["--taped", "slope"]));
    for result in [&merged, &alone] {
        assert_eq!(
            near(&result["moved"], "from_station_m")[0]["verdict"],
            "moved",
            "{}",
            result["moved"]
        );
        let climbs = near(&result["climbs"], "low_station_m");
        let rise = climbs[0]["rise_m"].as_f64().unwrap();
        let sd = climbs[0]["rise_sd_m"].as_f64().unwrap();
        assert!(
            climbs[0]["verdict"] == "climbs" && (rise - 0.58).abs() < 0.05 && sd < 0.03,
            "{rise} {sd}"
        );
    }
}

#[test]
fn sheets_are_drawn_for_the_paper_that_is_asked_for() {
    let dir = room("paper");
    let site = home("sample-surveys/juniper-draw/site.toml");
    for (paper, size) in [
        ("a3", "width=\"420mm\""),
        ("tabloid", "width=\"431.8mm\""),
        ("a4", "width=\"297mm\""),
    ] {
        program(&dir)
            .args([
                "check",
                site.to_str().unwrap(),
                "--quiet",
                "--out",
                "out",
                "--paper",
                paper,
            ])
            .assert()
            .success();
        let drawn = fs::read_to_string(dir.join("out/profile.svg")).unwrap();
        assert!(drawn.contains(size), "{paper}");
    }
}
