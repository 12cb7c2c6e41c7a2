//! The laying list as a crew gets it: laying.csv, the page, result.json, of the samples as they would be before any pipe lay there.

use crate::program::{home, program, room};
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// A sample in a folder of its own, with words of its site file exchanged.
fn planned(name: &str, sample: &str, book: &str, change: &[(&str, &str)]) -> PathBuf {
    let dir = room(name);
    fs::copy(
        home(&format!("sample-surveys/{sample}/{book}")),
        dir.join(book),
    )
    .unwrap();
    // The stream's own sheet, where the sample has one.
    let stream = home(&format!("sample-surveys/{sample}/stream-weir.csv"));
    if stream.exists() {
        fs::copy(stream, dir.join("stream-weir.csv")).unwrap();
    }
    let mut site = fs::read_to_string(home(&format!("sample-surveys/{sample}/site.toml"))).unwrap();
    site = site.replace("state = \"laid\"", "state = \"planned\"");
    for (from, to) in change {
        assert!(site.contains(from), "{from}");
        site = site.replace(from, to);
    }
    fs::write(dir.join("site.toml"), site).unwrap();
    dir
}

fn checked(dir: &Path) -> Value {
    let out = program(dir).args(["check", "site.toml"]).output().unwrap();
    assert!(
        out.status.success(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
    serde_json::from_slice(&fs::read(dir.join("site-results/result.json")).unwrap()).unwrap()
}

fn rows(path: &Path) -> (Vec<String>, Vec<BTreeMap<String, String>>) {
    let mut reader = csv::Reader::from_path(path).unwrap();
    let heads: Vec<String> = reader
        .headers()
        .unwrap()
        .iter()
        .map(str::to_owned)
        .collect();
    let rows = reader
        .records()
        .map(|r| {
            heads
                .iter()
                .cloned()
                .zip(r.unwrap().iter().map(str::to_owned))
                .collect()
        })
        .collect();
    (heads, rows)
}

fn number(row: &BTreeMap<String, String>, head: &str) -> f64 {
    row[head]
        .parse()
        .unwrap_or_else(|_| panic!("{head} of {row:?}"))
}

#[test]
fn the_sheet_adds_up_to_the_line_to_the_millimetre() {
    let dir = planned(
        "laying-metric",
        "otter-gill",
        "walk.gpx",
        &[
            ("of = \"pipe centre\"\n", ""),
            (
                "piece = \"100 m\"",
                "piece = [\"100 m\", \"25 m\", \"50 m\"]\nprice_per_m = 8",
            ),
        ],
    );
    let result = checked(&dir);
    let (_, rows) = rows(&dir.join("site-results/laying.csv"));
    let pieces: Vec<_> = rows.iter().filter(|r| !r["cut_m"].is_empty()).collect();
    assert!(pieces.len() > 6);
    assert_eq!(number(pieces[0], "from_station_m"), 0.0);
    for pair in pieces.windows(2) {
        assert_eq!(pair[0]["to_station_m"], pair[1]["from_station_m"]);
    }
    let mm = |m: f64| (m * 1000.0).round() as i64;
    let sum: i64 = pieces
        .iter()
        .map(|p| mm(number(p, "to_station_m")) - mm(number(p, "from_station_m")))
        .sum();
    let length_m = result["route"]["length_m"].as_f64().unwrap();
    assert!((sum - mm(length_m)).abs() <= 1, "{sum} mm of {length_m} m");
    // Each coil holds what is cut from it and its two curved ends of a metre.
    let mut cut: BTreeMap<(String, String), f64> = BTreeMap::new();
    for p in &pieces {
        *cut.entry((p["cut_from"].clone(), p["bought_m"].clone()))
            .or_default() += number(p, "cut_m");
    }
    for ((coil, bought), cut_m) in &cut {
        assert!(
            cut_m + 2.0 <= bought.parse::<f64>().unwrap() + 0.005,
            "{coil} of {bought}: {cut_m}"
        );
    }
    // Ground first, then the pipe from the intake down, then what is set on it; steps are numbered.
    let stages: Vec<&str> = rows.iter().map(|r| r["stage"].as_str()).collect();
    let mut sorted = stages.clone();
    sorted.sort_by_key(|s| {
        ["before the pipe", "pipe", "on the pipe"]
            .iter()
            .position(|w| w == s)
    });
    assert_eq!(stages, sorted);
    assert_eq!(number(rows.last().unwrap(), "step") as usize, rows.len());
    assert!(rows.iter().any(|r| r["what"] == "Install the head valve"));
    // What is bought stands in shopping.csv, in result.json and on the page alike.
    let shop: f64 = result["laying"]["shopping"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|r| r["item"] == "pipe in coils")
        .map(|r| r["count"].as_f64().unwrap() * r["each_m"].as_f64().unwrap())
        .sum();
    let bought: f64 = cut
        .keys()
        .map(|(_, each)| each.parse::<f64>().unwrap())
        .sum();
    assert_eq!(shop, bought);
    assert_eq!(
        result["laying"]["list"].as_array().unwrap().len(),
        rows.len()
    );
    let page = fs::read_to_string(dir.join("site-results/report.html")).unwrap();
    for words in [
        "Pipe-laying schedule",
        "Bends compared with the minimum bend radius of the pipe",
        "Installation steps in sequence",
        "add up to the pipeline length",
    ] {
        assert!(page.contains(words), "{words}");
    }
    let mut wrong = crate::schema::faults(&result);
    crate::schema::ill_figures(&result, "$", &mut wrong);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_same_things_in_another_order_give_the_same_list() {
    let list = |name: &str, change: &[(&str, &str)]| {
        let dir = planned(name, "otter-gill", "walk.gpx", change);
        checked(&dir);
        fs::read_to_string(dir.join("site-results/laying.csv")).unwrap()
    };
    let head = "[[fitting]]\nat = \"2 m\"\nkind = \"gate valve\"\nname = \"head valve\"\nrating = \"10 bar\"\n\n";
    let tail = "[[fitting]]\nat = \"638 m\"\nkind = \"ball valve\"\nname = \"turbine valve\"\nrating = \"16 bar\"\n\n";
    let one = list(
        "order-one",
        &[("piece = \"100 m\"", "piece = [\"50 m\", \"100 m\"]")],
    );
    let other = list(
        "order-other",
        &[
            ("piece = \"100 m\"", "piece = [\"100 m\", \"50 m\"]"),
            (&format!("{head}{tail}"), &format!("{tail}{head}")),
        ],
    );
    assert_eq!(one, other);
}

#[test]
fn a_us_crew_gets_feet_and_a_transition_between_the_two_kinds_of_pipe() {
    let dir = planned(
        "laying-us",
        "juniper-draw",
        "level-book.csv",
        &[
            ("of = \"pipe centre\"", "of = \"ground\""),
            ("piece = \"500 ft\"", "piece = [\"300 ft\", \"500 ft\"]"),
        ],
    );
    let result = checked(&dir);
    let (heads, rows) = rows(&dir.join("site-results/laying.csv"));
    assert!(!heads.iter().any(|h| h.ends_with("_m")), "{heads:?}");
    let sticks = rows.iter().filter(|r| r["cut_ft"] == "20.000").count();
    assert!(sticks > 25, "{sticks}");
    // PVC is not fused to polyethylene.
    assert!(
        rows.iter()
            .any(|r| r["what"] == "Join the two kinds of pipe: flanged joint")
    );
    assert_eq!(
        rows.iter()
            .filter(|r| r["what"] == "Install the reducer")
            .count(),
        1
    );
    // The pipe is not laid yet: ground and pipe are both drawn, and every stake has a trench or a height over the ground.
    let svg = fs::read_to_string(dir.join("site-results/profile.svg")).unwrap();
    assert!(svg.contains("ground"), "the ground's key");
    let points = result["route"]["points"].as_array().unwrap();
    assert!(points.iter().all(|p| p["ground_m"].is_number()));
    let (heads, stakes) = self::rows(&dir.join("site-results/stakes.csv"));
    assert!(heads.contains(&"trench_ft".to_owned()) && !heads.iter().any(|h| h.ends_with("_m")));
    assert!(stakes.len() > 10);
    for stake in &stakes {
        let (ground, wanted) = (number(stake, "ground_ft"), number(stake, "wanted_ft"));
        // Half of 4.5 in PVC to station 640 ft, of 3.5 in polyethylene below it.
        let half = if number(stake, "station_ft") < 640.0 {
            4.5
        } else {
            3.5
        } / 24.0;
        let below = ground - (wanted - half);
        let said = match (stake["trench_ft"].as_str(), stake["prop_ft"].as_str()) {
            ("", prop) => -prop.parse::<f64>().unwrap(),
            (trench, "") => trench.parse::<f64>().unwrap(),
            both => panic!("{both:?}"),
        };
        assert!((said - below).abs() < 0.02, "{stake:?}");
    }
}

#[test]
fn pipe_that_lies_has_no_list_and_keeps_its_joints() {
    let dir = planned(
        "laying-laid",
        "otter-gill",
        "walk.gpx",
        &[
            ("state = \"planned\"", "state = \"laid\""),
            (
                "to = \"330 m\"\n",
                "to = \"330 m\"\njoints_at = [\"98 m\", \"195 m\"]\n",
            ),
        ],
    );
    let result = checked(&dir);
    assert!(!dir.join("site-results/laying.csv").exists());
    assert_eq!(result["laying"]["list"], serde_json::json!([]));
    let kept: Vec<f64> = result["laying"]["joints"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|j| j["between"] == "stands")
        .map(|j| j["station_m"].as_f64().unwrap())
        .collect();
    assert_eq!(kept.len(), 2);
}

#[test]
fn prices_come_from_the_users_list_and_a_part_takes_the_pressure_at_its_place() {
    let dir = planned(
        "prices",
        "otter-gill",
        "walk.gpx",
        &[
            ("of = \"pipe centre\"\n", ""),
            ("[water]", "[prices]\nfile = \"prices.csv\"\n\n[water]"),
        ],
    );
    fs::write(
        dir.join("prices.csv"),
        "item,price,price_per_m\nPipe in coils,,4\ndrain valve,25,\nnobody buys this,1,\n",
    )
    .unwrap();
    let result = checked(&dir);
    let rows = result["laying"]["shopping"].as_array().unwrap();
    let of = |item: &str| -> Vec<&serde_json::Value> {
        let all: Vec<_> = rows.iter().filter(|r| r["item"] == item).collect();
        assert!(!all.is_empty(), "{item}");
        all
    };
    for row in of("pipe in coils") {
        let metres = row["count"].as_f64().unwrap() * row["each_m"].as_f64().unwrap();
        assert_eq!(row["price"].as_f64(), Some(4.0 * metres), "{row}");
    }
    for row in of("drain valve") {
        assert_eq!(row["price"].as_f64(), Some(25.0), "{row}");
        let station = row["stations_m"][0].as_f64().unwrap();
        // What any valve operation brings there, as result.json has it.
        let near = |points: &serde_json::Value| -> f64 {
            let gap = |p: &serde_json::Value| (p["station_m"].as_f64().unwrap() - station).abs();
            let all = points.as_array().unwrap().iter();
            all.min_by(|a, b| gap(a).total_cmp(&gap(b)))
                .and_then(|p| p["pressure_max_pa"].as_f64())
                .unwrap()
        };
        let surge = result["surges"]
            .as_array()
            .unwrap()
            .iter()
            .map(|s| near(&s["points"]))
            .fold(0.0, f64::max);
        let takes = row["rating_pa"].as_f64().unwrap();
        assert!(takes >= 0.98 * surge, "{takes} Pa for {surge} Pa");
        assert!(takes < 16e5, "{takes} Pa is the class of the pipe");
    }
    for row in rows.iter().filter(|r| r["item"] == "anchor") {
        assert!(row["rating_pa"].is_null(), "{row}");
    }
    let page = fs::read_to_string(dir.join("site-results/report.html")).unwrap();
    assert!(page.contains("in total, for"));
}

#[test]
fn a_planned_step_from_buried_to_raised_is_called_so_with_its_ramp() {
    let dir = room("planned-step");
    let ground: String = (0..=20)
        .map(|i| format!("{},{}\n", 10 * i, 100.0 - 0.5 * f64::from(i)))
        .collect();
    fs::write(
        dir.join("ground.csv"),
        format!("station_m,height_m\n{ground}"),
    )
    .unwrap();
    let site = |state: &str| {
        format!(
            "format = 1\n[survey]\nfiles = [\"ground.csv\"]\nkind = \"points\"\nof = \"ground\"\nfrom = \"intake\"\ntaped = \"slope\"\npoint_sd = \"0.01 m\"\n[intake]\nwater_level = \"1 m\"\n[[pipe]]\nspec = \"PE100 SDR11 90\"\njoint = \"fused\"\npiece = \"100 m\"\nstate = \"{state}\"\n[[laid]]\nfrom = \"0 m\"\nto = \"100 m\"\nhow = \"buried\"\ncover = \"0.8 m\"\n[[laid]]\nfrom = \"100 m\"\nto = \"200 m\"\nhow = \"raised\"\nheight = \"0.5 m\"\n[turbine]\njets = 1\nnozzle_diameter = \"12 mm\"\n"
        )
    };
    let climb = |state: &str| -> Value {
        fs::write(dir.join("site.toml"), site(state)).unwrap();
        let result = checked(&dir);
        let found = result["findings"].as_array().unwrap();
        found.iter().find(|f| f["code"] == "climb").unwrap().clone()
    };
    let planned = climb("planned");
    // Up by cover, half the pipe and the height over the ground: 0.8 + 0.045 + 0.5 m; the ground falls 1 in 20, the pipe is to fall 1 in 100.
    let up = planned["figures"]["step_up_m"].as_f64().unwrap();
    assert!((up - 1.345).abs() < 0.05, "{planned}");
    let ramp = planned["figures"]["ramp_m"].as_f64().unwrap();
    assert!((ramp - up / 0.04).abs() < 0.5, "{planned}");
    assert!(
        planned["do"].as_str().unwrap().contains("ramp"),
        "{planned}"
    );
    assert!(
        !planned["do"].as_str().unwrap().contains("Install"),
        "{planned}"
    );
    // Pipe that lies climbs, whatever it was meant to do.
    let laid = climb("laid");
    assert!(
        laid["figures"]["step_up_m"].is_null() && laid["do"].as_str().unwrap().contains("vent")
    );
}
