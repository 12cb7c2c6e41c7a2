//! The two samples against the truth that their generators walked, by tolerance.

use crate::program::{home, program, room};
use serde_json::Value;

fn check(sample: &str) -> Value {
    let site = home(&format!("sample-surveys/{sample}/site.toml"));
    let out = program(&room(sample))
        .args(["check", site.to_str().unwrap(), "--json"])
        .assert()
        .success();
    serde_json::from_slice(&out.get_output().stdout).unwrap()
}

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("no number: {value}"))
}

/// Within so many standard deviations of the truth, and the standard deviation itself no wider than this.
fn holds(value: &Value, sd: &Value, truth: f64, widest: f64) {
    let (value, sd) = (number(value), number(sd));
    assert!(
        (value - truth).abs() <= 2.5 * sd,
        "{value} +- {sd} for {truth}"
    );
    assert!(sd <= widest, "{sd} is wider than {widest}");
}

#[test]
fn otter_gill_three_walks() {
    let result = check("otter-gill");
    let route = &result["route"];
    holds(&route["length_m"], &route["length_sd_m"], 640.0, 3.0);
    holds(&route["drop_m"], &route["drop_sd_m"], 78.35, 2.0);
    let climbs = result["climbs"].as_array().unwrap();
    let certain: Vec<&Value> = climbs.iter().filter(|c| c["verdict"] == "climbs").collect();
    assert_eq!(certain.len(), 1, "{climbs:?}");
    assert!((number(&certain[0]["low_station_m"]) - 376.0).abs() < 8.0);
    assert!((number(&certain[0]["crest_station_m"]) - 409.0).abs() < 8.0);
    holds(&certain[0]["rise_m"], &certain[0]["rise_sd_m"], 1.99, 0.8);
    assert_eq!(result["survey"]["passes"], 3);
    // Four 9 mm jets under some 67 m: Q = 4 x 0.95 x pi/4 x 0.009^2 x sqrt(2 g h).
    let all = result["cases"]
        .as_array()
        .unwrap()
        .iter()
        .find(|c| c["name"] == "all jets")
        .unwrap();
    let h = number(&all["net_head_m"]);
    let jets =
        4.0 * 0.95 * std::f64::consts::FRAC_PI_4 * 0.009_f64.powi(2) * (2.0 * 9.81 * h).sqrt();
    assert!((number(&all["flow_m3_per_s"]) / jets - 1.0).abs() < 2e-3);
}

/// The barometers tell the climb better than the walks do, and narrow down what those cannot tell.
#[test]
fn otter_gill_with_two_logs_of_the_pressure() {
    let file = |name: &str| home(&format!("sample-surveys/otter-gill/{name}"));
    let survey = |more: &[&str]| -> Value {
        let out = program(&room("logs"))
            .args(["survey", file("walk.gpx").to_str().unwrap(), "--json"])
            .args(more)
            .assert()
            .success();
        serde_json::from_slice(&out.get_output().stdout).unwrap()
    };
    let (own, base) = (file("pressure.csv"), file("powerhouse.csv"));
    let logs = [
        "--pressure-log",
        own.to_str().unwrap(),
        "--base-log",
        base.to_str().unwrap(),
    ];
    let (with, without) = (survey(&logs), survey(&[]));
    // The sheet says where its heights come from.
    let drawn = room("logs-drawn");
    program(&drawn)
        .args(["survey", file("walk.gpx").to_str().unwrap(), "--out", "out"])
        .args(logs)
        .assert()
        .success();
    let sheet = std::fs::read_to_string(drawn.join("out/profile.svg")).unwrap();
    assert!(sheet.contains("heights from air pressure") && !sheet.contains("GPS heights"));
    let certain = |result: &Value| -> Value {
        let climbs = result["climbs"].as_array().unwrap();
        climbs
            .iter()
            .find(|c| c["verdict"] == "climbs")
            .unwrap()
            .clone()
    };
    let (sharp, dull) = (certain(&with), certain(&without));
    holds(&sharp["rise_m"], &sharp["rise_sd_m"], 1.876, 0.25);
    assert!(number(&sharp["rise_sd_m"]) < 0.6 * number(&dull["rise_sd_m"]));
    holds(
        &with["route"]["drop_m"],
        &with["route"]["drop_sd_m"],
        78.35,
        2.0,
    );
    let receivers = with["survey"]["receiver"].as_array().unwrap();
    let best = receivers
        .iter()
        .max_by(|a, b| number(&a["probability"]).total_cmp(&number(&b["probability"])))
        .unwrap();
    assert_eq!(best["class"], "pressure log with a base");
    let told = with["survey"]["remarks"].to_string();
    assert!(
        told.contains("come from the air pressure")
            && told.contains("caused by gusts of wind or doors"),
        "{told}"
    );
}

#[test]
fn juniper_draw_levelled() {
    let foot = 0.3048;
    let result = check("juniper-draw");
    assert_eq!(result["units"], "us");
    let route = &result["route"];
    assert!((number(&route["length_m"]) - 1240.0 * foot).abs() < 1e-3);
    holds(&route["drop_m"], &route["drop_sd_m"], 119.53 * foot, 0.02);
    let climbs = result["climbs"].as_array().unwrap();
    assert_eq!(climbs.len(), 1, "{climbs:?}");
    assert_eq!(climbs[0]["verdict"], "climbs");
    holds(
        &climbs[0]["rise_m"],
        &climbs[0]["rise_sd_m"],
        0.79 * foot,
        0.02,
    );
}

#[test]
fn a_result_in_feet_has_no_metric_remainder() {
    let out = program(&room("feet"))
        .args([
            "check",
            home("sample-surveys/juniper-draw/site.toml")
                .to_str()
                .unwrap(),
            "--out",
            room("feet-out").to_str().unwrap(),
        ])
        .assert()
        .success();
    let text = String::from_utf8(out.get_output().stdout.clone()).unwrap();
    let shopping = std::fs::read_to_string(std::env::temp_dir().join(format!(
        "steadyfall-feet-out-{}/shopping.csv",
        std::process::id()
    )))
    .unwrap();
    let heads = shopping.lines().next().unwrap();
    assert!(
        heads.contains("bore_in") && heads.contains("holds_lbf") && !heads.contains("_m,"),
        "{heads}"
    );
    for metric in [
        " m ", " m.", " m,", " mm", " bar", " L/s", " L ", "\u{b0}C", " kN", " kg",
    ] {
        assert!(!text.contains(metric), "\"{metric}\" stands in:\n{text}");
    }
}
