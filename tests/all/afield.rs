//! What the page asks in the field: the answers of `field` hold beside those of the commands that people call.

use crate::program::{home, program, room};
use serde_json::Value;
use std::fs;
use std::path::Path;

fn asked(dir: &Path, args: &[&str]) -> Value {
    let out = program(dir).arg("field").args(args).assert().success();
    serde_json::from_slice(&out.get_output().stdout).unwrap()
}

/// The page's sheets are those of `new`, in both units.
#[test]
fn the_sheets_are_those_of_new() {
    for units in ["metric", "us"] {
        let dir = room(&format!("sheets-{units}"));
        program(&dir)
            .args(["new", ".", "--units", units])
            .assert()
            .success();
        let sheets = asked(&dir, &["sheets", "--units", units]);
        for book in sheets["books"].as_array().unwrap() {
            let text = fs::read_to_string(dir.join(book["file"].as_str().unwrap())).unwrap();
            let heads: Vec<&str> = book["columns"]
                .as_array()
                .unwrap()
                .iter()
                .map(|c| c["head"].as_str().unwrap())
                .collect();
            assert!(text.lines().any(|l| l == heads.join(",")), "{heads:?}");
        }
    }
}

/// At every foresight that ends the book, the check is the sentence that `survey` writes.
#[test]
fn a_book_that_is_kept_is_checked_as_survey_checks_it() {
    let dir = room("kept");
    let whole = fs::read_to_string(home("sample-surveys/juniper-draw/level-book.csv")).unwrap();
    let head = whole.lines().position(|l| l.contains("bs_ft")).unwrap();
    let lines: Vec<&str> = whole.lines().skip(head).collect();
    let mut compared = 0;
    for n in [3, 7, 12, 20, lines.len()] {
        let text = lines[..n].join("\n");
        fs::write(dir.join("book.csv"), &text).unwrap();
        let kept = asked(&dir, &["book", "book.csv"]);
        assert_eq!(kept["faults"].as_array().unwrap().len(), 0, "{n}: {kept}");
        assert_eq!(kept["checks"], true, "{n}");
        assert!(!kept["rows"].as_array().unwrap().is_empty());
        if kept["open"] == true || n < 4 {
            continue;
        }
        let out = program(&dir)
            .args([
                "survey", "book.csv", "--json", "--units", "us", "--taped", "slope",
            ])
            .assert()
            .success();
        let told = String::from_utf8_lossy(&out.get_output().stdout).into_owned();
        assert!(
            told.contains(kept["check"].as_str().unwrap()),
            "{n}: {kept}"
        );
        compared += 1;
    }
    assert!(compared > 0);
    let kept = asked(&dir, &["book", "book.csv"]);
    assert_eq!(kept["misclosure"]["holds"], true, "{kept}");
}

/// One walk more never shows less, and two kinds of phone are not mixed without a word.
#[test]
fn the_sum_of_the_walks_says_what_one_more_would_show() {
    let dir = room("sum");
    fs::copy(
        home("sample-surveys/otter-gill/walk.gpx"),
        dir.join("walk.gpx"),
    )
    .unwrap();
    let sum = asked(&dir, &["sum", "walk.gpx"]);
    let said: Vec<&str> = sum["said"]
        .as_array()
        .unwrap()
        .iter()
        .map(|s| s.as_str().unwrap())
        .collect();
    assert!(said[0].starts_with("3 walks give"), "{said:?}");
    assert!(said[1].starts_with("With one more walk"), "{said:?}");
    let fixes: Vec<String> = (0..120)
        .map(|i| {
            format!(
                "[{},{},-30.5,5,{},null]",
                1_700_000_000_000_u64 + 1000 * i,
                46.1 - 1e-5 * i as f64,
                100.0 - 0.2 * i as f64
            )
        })
        .collect();
    for (name, device) in [("one", "Android"), ("other", "iPhone")] {
        let json = format!(
            "{{\"device\": \"{device}\", \"fixes\": [{}], \"events\": []}}",
            fixes.join(",")
        );
        fs::write(dir.join("walk.json"), json).unwrap();
        let track = asked(&dir, &["track", "walk.json"]);
        let gpx = track["gpx"]
            .as_str()
            .unwrap()
            .replace("<ele>1", if name == "one" { "<ele>1" } else { "<ele>2" });
        fs::write(dir.join(format!("{name}.gpx")), gpx).unwrap();
    }
    let alone = asked(&dir, &["sum", "one.gpx"]);
    assert!(!alone["said"].to_string().contains("two kinds of phone"));
    let both = asked(&dir, &["sum", "one.gpx", "other.gpx"]);
    assert!(
        both["said"].to_string().contains("two kinds of phone"),
        "{both}"
    );
}

/// A reading for the gauge book is read by `log`, in a state that the plant has.
#[test]
fn a_reading_goes_into_the_book_that_log_reads() {
    let dir = room("gauge");
    program(&dir)
        .args(["demo", "--files", "."])
        .assert()
        .success();
    let gauge = asked(&dir, &["gauge", "site.toml"]);
    assert_eq!(
        (gauge["named"].clone(), gauge["rows"].clone()),
        (false.into(), 0.into())
    );
    let states: Vec<String> = gauge["states"]
        .as_array()
        .unwrap()
        .iter()
        .map(|s| s.as_str().unwrap().to_owned())
        .collect();
    for (i, state) in states.iter().enumerate() {
        fs::write(dir.join("reading.json"), format!("{{\"date\": \"2026-05-{:02} 08:30\", \"state\": \"{state}\", \"pressure\": \"{}\"}}", i + 1, 600 + i)).unwrap();
        let with = asked(&dir, &["gauge", "site.toml", "--add", "reading.json"]);
        assert_eq!(with["rows"], i + 1, "{state}");
        fs::write(
            dir.join(with["file"].as_str().unwrap()),
            with["text"].as_str().unwrap(),
        )
        .unwrap();
    }
    let out = program(&dir)
        .args(["log", "site.toml", "gauge.csv", "--json"])
        .assert()
        .success();
    let told: Value = serde_json::from_slice(&out.get_output().stdout).unwrap();
    assert_eq!(told["gauge_book"]["rows_read"], states.len());
    fs::write(
        dir.join("reading.json"),
        "{\"date\": \"2026-06-01\", \"state\": \"half a jet\", \"pressure\": \"600\"}",
    )
    .unwrap();
    program(&dir)
        .args(["field", "gauge", "site.toml", "--add", "reading.json"])
        .assert()
        .code(2);
}

/// Distances against the handbook length of a degree: 111.13 km of latitude at 45 degrees (WGS 84 meridian; Snyder, Map projections, 1987, table 9).
#[test]
fn the_way_back_is_as_far_as_the_earth_is_large() {
    let dir = room("places");
    let gpx = "<gpx version=\"1.1\" creator=\"t\" xmlns=\"http://www.topografix.com/GPX/1/1\"><wpt lat=\"45.001\" lon=\"-30\"><name>vent</name></wpt><wpt lat=\"45\" lon=\"-30\"><name>intake</name></wpt></gpx>";
    fs::write(dir.join("marks.gpx"), gpx).unwrap();
    let told = asked(
        &dir,
        &["places", "marks.gpx", "--at", "45,-30", "--within", "6"],
    );
    let places = told["places"].as_array().unwrap();
    assert_eq!(
        (places[0]["name"].clone(), places[0]["here"].clone()),
        ("intake".into(), true.into())
    );
    let far = places[1]["distance_m"].as_f64().unwrap();
    assert!((far - 111.13).abs() < 0.02, "{far}");
    assert_eq!(places[1]["text"], "111 m to the north");
    program(&dir)
        .args(["field", "places", "marks.gpx", "--at", "45"])
        .assert()
        .code(2);
}
