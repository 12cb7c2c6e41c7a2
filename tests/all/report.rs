//! The page: verdict first, figures those of the result, nothing fetched, nothing from a file run.

use crate::drawing::{SAMPLES, result, sample};
use serde_json::Value;
use std::collections::BTreeSet;
use steadyfall::html as page;
use steadyfall::line::{Discharge, Jet, Line, Outlet};
use steadyfall::pipe::{self, RunState};
use steadyfall::report::account::{Report, SurveyReport};
use steadyfall::report::answer::{self, Question};
use steadyfall::route::Route;
use steadyfall::study::{Study, survey};
use steadyfall::terminal;
use steadyfall::terminal::look::Look;
use steadyfall::unit::Units;
use steadyfall::words::typeset;

/// A text as the page has it.
pub fn shown(text: &str) -> String {
    maud::html! { (typeset(text)) }.into_string()
}

/// The figures embedded in a page.
fn embedded(page: &str) -> Value {
    let (_, after) = page.split_once("id=\"figures\">").unwrap();
    serde_json::from_str(after.split_once("</script>").unwrap().0).unwrap()
}

#[test]
fn the_verdict_and_what_to_do_come_first() {
    for name in SAMPLES {
        let page = page::of_check(sample(name));
        let verdict = page.find("class=\"verdict").unwrap();
        assert!(verdict < page.find("<dl class=\"key\"").unwrap());
        assert!(
            page[verdict..].find("Do this first").unwrap()
                < page[verdict..].find("<section").unwrap()
        );
        for finding in result(name)["findings"].as_array().unwrap() {
            assert!(
                page.contains(&shown(finding["text"].as_str().unwrap())),
                "{finding}"
            );
            assert!(
                page.contains(&shown(finding["do"].as_str().unwrap())),
                "{finding}"
            );
        }
        for step in result(name)["work"].as_array().unwrap() {
            assert!(
                page.contains(&shown(step["text"].as_str().unwrap())),
                "{step}"
            );
        }
    }
}

#[test]
fn the_figures_under_the_finger_are_those_of_the_result() {
    for name in SAMPLES {
        let figures = embedded(&page::of_check(sample(name)));
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
            ("hydraulic grade line", case("all jets"), "grade_line_m"),
            ("static", case("shut"), "pressure_pa"),
            ("operating", case("all jets"), "pressure_pa"),
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
    let mut pages: Vec<String> = SAMPLES.iter().map(|n| page::of_check(sample(n))).collect();
    let route = sample("otter-gill").study.route.clone();
    pages.push(page::of_survey(&SurveyReport::of(
        survey(route, 0.09),
        "walk".into(),
        Units::Metric,
    )));
    for page in pages {
        assert!(page.contains("default-src 'none'"));
        let plain = page.replace("http://www.w3.org/2000/svg", "");
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
    account.study.line.heading.title = hostile.to_owned();
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
    let page = page::of_check(&account);
    assert!(!page.contains("<script>alert") && !page.contains("<img"));
    assert_eq!(page.matches("<script").count(), 2);
    assert!(embedded(&page)["rows"].is_object());
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
        how: Discharge::Jets(vec![Jet {
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
    let page = page::of_check(&account);
    assert_eq!(
        embedded(&page)["rows"]["station"]["values"]
            .as_array()
            .unwrap()
            .len(),
        2000
    );
    assert!(page.len() < 1_000_000, "{} bytes", page.len());
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
    let page = std::fs::read_to_string(out.join("report.html")).unwrap();
    assert!(page.find("Do this first").unwrap() < page.find("<section").unwrap());
    assert!(page.contains("What moved"));
    let drawn = std::fs::read_to_string(out.join("profile.svg")).unwrap();
    assert!(drawn.contains("as it lay before"));
}

/// The part of a page from an id to the end of its section.
fn section<'a>(page: &'a str, id: &str) -> &'a str {
    let from = page.find(&format!("<section id=\"{id}\"")).unwrap();
    let rest = &page[from..];
    &rest[..rest.find("</section>").unwrap()]
}

#[test]
fn each_question_answers_in_its_first_line_and_every_finding_is_told_once() {
    for name in SAMPLES {
        let account = sample(name);
        let page = page::of_check(account);
        let answers = answer::of_check(account);
        assert_eq!(answers.len(), Question::ALL.len());
        let mut told = 0;
        for answer in &answers {
            let part = section(&page, answer.question.id());
            let (_, below) = part.split_once("</h2>").unwrap();
            assert!(
                below.starts_with(&format!("<p class=\"answer\">{}</p>", shown(&answer.line))),
                "{}",
                answer.line
            );
            for finding in answer::findings(&account.findings, answer.question) {
                assert!(
                    part.contains(&format!("id=\"F{}\"", finding.number)),
                    "{name}"
                );
                told += 1;
            }
        }
        assert_eq!(told, account.findings.len(), "{name}");
        // The picture comes before every question, and each finding has its place on it and a way there.
        let picture = section(&page, "picture");
        assert!(page.find("<section id=\"picture\"") < page.find("<section id=\"q-"));
        for finding in &account.findings {
            let n = finding.number;
            assert!(picture.contains(&format!("id=\"at-F{n}\"")), "{name} F{n}");
            assert!(page.contains(&format!("href=\"#at-F{n}\"")), "{name} F{n}");
        }
    }
}

#[test]
fn the_answers_are_those_of_the_result() {
    let account = sample("otter-gill");
    let result = result("otter-gill");
    let line = |question: Question| {
        let all = answer::of_check(account);
        all.into_iter()
            .find(|a| a.question == question)
            .unwrap()
            .line
    };
    let climb = result["climbs"]
        .as_array()
        .unwrap()
        .iter()
        .find(|c| c["verdict"] == "climbs")
        .unwrap();
    let station = |key: &str| format!("{:.0} m", climb[key].as_f64().unwrap());
    let falls = line(Question::Falls);
    assert!(falls.starts_with("No. "), "{falls}");
    assert!(
        falls.contains(&station("low_station_m")) && falls.contains(&station("crest_station_m"))
    );
    let unsure = result["climbs"]
        .as_array()
        .unwrap()
        .iter()
        .any(|c| c["verdict"] == "cannot tell");
    assert_eq!(falls.contains("Not certain"), unsure, "{falls}");
    // The longest of the shortest safe times comes first.
    let longest = result["surges"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|s| s["shortest_safe_s"].as_f64())
        .fold(0.0, f64::max);
    let valves = line(Question::Valves);
    let shown = format!("{} s", (longest * 10.0).ceil() / 10.0);
    assert!(valves.contains(&shown), "{valves} lacks {shown}");
    let wanted = result["marks"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|m| m["kind"] == "vent" && m["state"] == "wanted")
        .count();
    assert!(line(Question::SetOut).contains(&format!("{wanted} vent")));
}

#[test]
fn a_run_says_all_seven_on_one_screen_and_more_when_it_is_asked() {
    for name in SAMPLES {
        let account = sample(name);
        for width in [80, 96, 120] {
            let short = Look {
                full: false,
                ..Look::plain(width)
            };
            let text = terminal::of_check(account, &short);
            // Two more lines name the report.
            assert!(text.lines().count() <= 22, "{name} at {width}:\n{text}");
            for question in Question::ALL {
                let head = format!("  {}", question.short());
                assert!(
                    text.lines().any(|l| l.starts_with(&head)),
                    "{name}: {head}\n{text}"
                );
            }
            assert!(text.contains("--full"));
            assert!(text.lines().all(|l| l.chars().count() <= width), "{text}");
        }
        let full = terminal::of_check(account, &Look::default());
        for finding in result(name)["findings"].as_array().unwrap() {
            let words: Vec<&str> = finding["text"]
                .as_str()
                .unwrap()
                .split(' ')
                .take(4)
                .collect();
            assert!(full.contains(&words.join(" ")), "{words:?}");
        }
    }
}
