//! The page: verdict first, figures those of the result, nothing fetched, nothing from a file run.

use crate::drawing::{SAMPLES, result, sample};
use serde_json::Value;
use std::collections::BTreeSet;
use steadyfall::html;
use steadyfall::line::{Jet, Line, Outlet, Way};
use steadyfall::pipe::{self, RunState};
use steadyfall::route::Route;
use steadyfall::study::{Study, survey};
use steadyfall::unit::Units;
use steadyfall::words::account::{Report, SurveyAccount};

/// The figures embedded in a page.
fn embedded(html: &str) -> Value {
    let (_, after) = html.split_once("id=\"figures\">").unwrap();
    serde_json::from_str(after.split_once("</script>").unwrap().0).unwrap()
}

#[test]
fn the_verdict_and_what_to_do_come_first() {
    for name in SAMPLES {
        let html = html::of_check(sample(name));
        let verdict = html.find("class=\"verdict").unwrap();
        assert!(verdict < html.find("<dl class=\"key\"").unwrap());
        assert!(
            html[verdict..].find("Do first").unwrap() < html[verdict..].find("<section").unwrap()
        );
        for finding in result(name)["findings"].as_array().unwrap() {
            assert!(
                html.contains(&html::escaped(finding["text"].as_str().unwrap())),
                "{finding}"
            );
            assert!(
                html.contains(&html::escaped(finding["do"].as_str().unwrap())),
                "{finding}"
            );
        }
        for step in result(name)["work"].as_array().unwrap() {
            assert!(
                html.contains(&html::escaped(step["text"].as_str().unwrap())),
                "{step}"
            );
        }
    }
}

#[test]
fn the_figures_under_the_finger_are_those_of_the_result() {
    for name in SAMPLES {
        let figures = embedded(&html::of_check(sample(name)));
        let result = result(name);
        let case = |wanted: &str| {
            result["cases"]
                .as_array()
                .unwrap()
                .iter()
                .find(|c| c["name"] == wanted)
                .unwrap()["points"]
                .as_array()
                .unwrap()
        };
        let route = result["route"]["points"].as_array().unwrap();
        for (row, list, key) in [
            ("station", route, "station_m"),
            ("height", route, "elevation_m"),
            ("grade line", case("all jets"), "grade_line_m"),
            ("standing", case("shut"), "pressure_pa"),
            ("running", case("all jets"), "pressure_pa"),
        ] {
            let shown = figures["rows"][row]["values"].as_array().unwrap();
            let told: Vec<&Value> = list.iter().map(|p| &p[key]).collect();
            assert_eq!(shown.iter().collect::<Vec<_>>(), told, "{name}: {row}");
        }
        let surge = figures["rows"]["surge"]["values"].as_array().unwrap();
        for (i, value) in surge.iter().enumerate() {
            let among = result["surges"]
                .as_array()
                .unwrap()
                .iter()
                .any(|s| &s["points"][i]["pressure_max_pa"] == value);
            assert!(among, "{name}: surge {value} at {i}");
        }
    }
}

#[test]
fn nothing_is_fetched_and_every_link_leads_somewhere() {
    let mut pages: Vec<String> = SAMPLES.iter().map(|n| html::of_check(sample(n))).collect();
    let route = sample("otter-gill").study.route.clone();
    pages.push(html::of_survey(&SurveyAccount::of(
        survey(route, 0.09),
        "walk".into(),
        Units::Metric,
    )));
    for html in pages {
        assert!(html.contains("default-src 'none'"));
        let plain = html.replace("http://www.w3.org/2000/svg", "");
        for fetched in [
            "http:", "https:", " src=", "@import", "url(", "<link", "<iframe", "<img", "<object",
        ] {
            assert!(!plain.contains(fetched), "{fetched}");
        }
        let ids: Vec<&str> = plain
            .split(" id=\"")
            .skip(1)
            .filter_map(|t| t.split('"').next())
            .collect();
        let set: BTreeSet<&str> = ids.iter().copied().collect();
        assert_eq!(ids.len(), set.len(), "an id stands twice");
        for link in plain
            .split("href=\"#")
            .skip(1)
            .filter_map(|t| t.split('"').next())
        {
            assert!(set.contains(link), "#{link} leads nowhere");
        }
    }
}

#[test]
fn hostile_names_stay_text_in_the_page() {
    let hostile = "</script><script>alert(1)</script><img src=x onerror=alert(1)>'\"";
    let mut account = sample("otter-gill").clone();
    account.study.line.title = hostile.to_owned();
    for place in &mut account.study.route.places {
        place.name = hostile.to_owned();
    }
    for fitting in &mut account.study.line.fittings {
        fitting.name = hostile.to_owned();
    }
    for mark in &mut account.marks {
        mark.name = hostile.to_owned();
    }
    for run in &mut account.study.cases.runs {
        run.wish.state = RunState::Case(format!("{}{hostile}", run.state()));
    }
    let html = html::of_check(&account);
    assert!(!html.contains("<script>alert") && !html.contains("<img"));
    assert_eq!(html.matches("<script").count(), 2);
    assert!(embedded(&html)["rows"].is_object());
}

#[test]
fn a_page_of_two_thousand_stations_stays_under_a_megabyte() {
    let base = sample("otter-gill");
    let pipe = pipe::find("PE100 SDR11 110").unwrap();
    let points: Vec<(f64, f64)> = (0..2000)
        .map(|i| {
            let s = f64::from(i) * 1.7;
            (s, 900.0 - 0.04 * s + 0.02 * (s / 7.0).sin())
        })
        .collect();
    let mut line = Line::plain(&points, &pipe);
    line.outlet = Some(Outlet {
        how: Way::Jets(vec![Jet {
            name: "A1".into(),
            nozzle_diameter_m: 0.012,
            open: 1.0,
            discharge_coefficient: 0.95,
            velocity_coefficient: 0.97,
        }]),
        nozzle_height_m: 0.4,
        water_to_wire: None,
    });
    let study = Study::of(Route::default(), line);
    let account = Report::of(study, base.units);
    let html = html::of_check(&account);
    assert_eq!(
        embedded(&html)["rows"]["station"]["values"]
            .as_array()
            .unwrap()
            .len(),
        2000
    );
    assert!(html.len() < 1_000_000, "{} bytes", html.len());
}

#[test]
fn a_comparison_says_what_to_do_tonight_and_draws_both_lines() {
    use crate::program::{home, program, room};
    let dir = room("storm-page");
    let sample = home("sample-surveys/otter-gill");
    let after = std::fs::read_dir(&sample)
        .unwrap()
        .flatten()
        .map(|e| e.path())
        .find(|p| {
            p.file_name().unwrap().to_string_lossy().contains("after")
                || p.file_name().unwrap().to_string_lossy().contains("storm")
        })
        .unwrap();
    let out = dir.join("out");
    program(&dir)
        .arg("compare")
        .arg(sample.join("site.toml"))
        .arg("--after")
        .arg(after)
        .arg("--out")
        .arg(&out)
        .arg("--quiet")
        .assert()
        .success();
    let html = std::fs::read_to_string(out.join("report.html")).unwrap();
    assert!(html.find("Tonight").unwrap() < html.find("<section").unwrap());
    assert!(html.contains("What moved"));
    let drawn = std::fs::read_to_string(out.join("profile.svg")).unwrap();
    assert!(drawn.contains("as it lay before"));
}
