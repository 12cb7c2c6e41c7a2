//! A rule, two lines: for every code of a finding a small line that fires it and one that just does not. They lie beside the rule, in src/finding/rules.
// `fires` and `holds` say how each line differs from the plain one, section by section. `second`: the other line has it too, but so grave.

use serde_json::Value;
use std::fmt::Write as _;
use steadyfall::finding::{CODES, Severity};
use steadyfall::gauging;
use steadyfall::json;
use steadyfall::line;
use steadyfall::reading::Misclosure;
use steadyfall::report::account::Report;
use steadyfall::report::answer::{self, Question};
use steadyfall::site;
use steadyfall::study::{Study, read_route_from, with_gauged};
use steadyfall::survey;
use steadyfall::unit::Units;
use toml::{Table, Value as Toml};

/// The plain line: 300 m of PE that fall evenly by 30 m, and nothing on it; its sections as they stand where a pair says nothing else.
const PLAIN: [(&str, &str); 6] = [
    (
        "survey",
        "files = [\"line.csv\"]\nkind = \"points\"\nof = \"pipe centre\"\nfrom = \"intake\"\ntaped = \"slope\"\npoint_sd = \"0.005 m\"",
    ),
    (
        "site",
        "latitude = 46.0\naltitude = \"500 m\"\nhottest_air = \"20 C\"\ncoldest_air = \"5 C\"\nsun = false",
    ),
    ("water", "temperature = \"8 C\""),
    ("intake", "water_level = \"1 m\""),
    ("turbine", ""),
    (
        "pipe",
        "[[pipe]]\nspec = \"PE100 SDR11 90\"\njoint = \"fused\"\npiece = \"100 m\"",
    ),
];

fn said<'a>(line: &'a Table, key: &str) -> Option<&'a str> {
    line.get(key).and_then(Toml::as_str)
}

fn site_text(line: &Table) -> String {
    let mut out = String::from("format = 1\ntitle = \"rule\"\n");
    for (section, plain) in PLAIN {
        let text = said(line, section).unwrap_or(plain);
        if section != "pipe" && !text.is_empty() {
            let _ = writeln!(out, "[{section}]");
        }
        let _ = writeln!(out, "{text}");
    }
    out + said(line, "more").unwrap_or("")
}

/// The survey: "station height|station height", a sheet, or a walk of so many fixes 8 m apart.
fn survey_text(line: &Table) -> String {
    let points = said(line, "points").unwrap_or("0 500|300 470");
    match said(line, "sheet") {
        Some(walk) if walk.starts_with("walk") => walked(walk),
        Some(sheet) => sheet.to_owned(),
        None => format!(
            "station_m,height_m\n{}\n",
            points.replace('|', "\n").replace(' ', ",")
        ),
    }
}

/// "walk terrain 0..90": fixes by their numbers, on ground or on the steps of a terrain model.
fn walked(words: &str) -> String {
    let mut words = words.split_whitespace().skip(1);
    let terrain = words.next() == Some("terrain");
    let height = |i: u32| {
        if terrain {
            1200.0 - 10.0 * f64::from(i / 4)
        } else {
            1200.0 - 2.4 * f64::from(i) + 0.8 * f64::from((i * 7919) % 13) / 13.0
        }
    };
    let mut fixes = String::new();
    for reach in words {
        let (from, to) = reach.split_once("..").unwrap();
        for i in from.parse::<u32>().unwrap()..to.parse().unwrap() {
            let lat = 46.2 + 7.2e-5 * f64::from(i);
            let _ = writeln!(
                fixes,
                "<trkpt lat=\"{lat:.6}\" lon=\"8.1\"><ele>{:.2}</ele></trkpt>",
                height(i)
            );
        }
    }
    crate::survey::track(&fixes)
}

fn found(line: &Table) -> Vec<Value> {
    judged(line)["findings"].as_array().unwrap().clone()
}

/// What is written of every line of every pair.
pub fn results() -> Vec<Value> {
    let all = pairs();
    let lines = all.iter().flat_map(|p| [&p["fires"], &p["holds"]]);
    lines.map(|line| judged(line.as_table().unwrap())).collect()
}

fn judged(line: &Table) -> Value {
    json::of_check(&account(line))
}

fn account(line: &Table) -> Report {
    let text = site_text(line);
    let sheet = survey_text(line);
    let name = if sheet.starts_with("<?xml") {
        "line.gpx"
    } else {
        "line.csv"
    };
    let site = site::read_text("site.toml", &text).unwrap_or_else(|f| panic!("{}\n{text}", f[0]));
    let mut route = read_route_from(&site, &|_, kind, options| {
        survey::read_bytes(sheet.as_bytes(), name, kind, options)
    })
    .unwrap_or_else(|f| panic!("{f}\n{sheet}"));
    // A level book that does not close is refused before it is a route; what comes of one that hardly does is asked here.
    if let (Some(found_m), Some(allowed_m)) = (
        line.get("misclosure_m").and_then(Toml::as_float),
        line.get("misclosure_allowed_m").and_then(Toml::as_float),
    ) {
        route.misclosure = Some(Misclosure { found_m, allowed_m });
    }
    let built = line::build(&site, &route).unwrap_or_else(|f| panic!("{}\n{text}", f[0]));
    let sheet = said(line, "gauged").unwrap_or("").replace('|', "\n");
    let line = with_gauged(&site, built, &|_, gravity| {
        gauging::read_text(sheet.as_bytes(), "stream.csv", gravity)
    })
    .unwrap_or_else(|f| panic!("{f}\n{sheet}"));
    Report::of(Study::of(route, line), Units::Metric)
}

/// Where the rules stand, and beside each the lines that it is held to.
const RULES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/src/finding/rules");

fn pairs() -> Vec<Table> {
    let mut sheets: Vec<_> = std::fs::read_dir(RULES)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "toml"))
        .collect();
    sheets.sort();
    let of_sheet = |path: &std::path::PathBuf| {
        let sheet: Table = std::fs::read_to_string(path).unwrap().parse().unwrap();
        let rule = std::fs::read_to_string(path.with_extension("rs")).unwrap();
        let pairs = sheet["pair"].as_array().unwrap().clone();
        for pair in &pairs {
            let code = pair["code"].as_str().unwrap();
            assert!(
                rule.contains(&format!("\"{code}\"")),
                "{code} stands beside another rule"
            );
        }
        pairs
    };
    let all = sheets.iter().flat_map(of_sheet);
    all.map(|p| p.as_table().unwrap().clone()).collect()
}

/// The first screen and the findings answer the same: no question is answered with yes beside a finding to correct that says no.
#[test]
fn no_answer_says_yes_beside_a_finding_that_says_no() {
    let against = |question: Question| -> &[&str] {
        match question {
            Question::Falls => &["climb", "climb-doubtful", "not-recorded"],
            Question::Strong => &[
                "over-pressure",
                "surge-over",
                "column-parts",
                "parting-not-settled",
                "collapse-without-air",
                "collapse-not-settled",
                "joint-in-suction",
                "joint-not-settled",
                "no-rating",
                "not-pressure-pipe",
                "pressure-not-settled",
                "too-warm",
            ],
            _ => &[],
        }
    };
    let (mut wrong, mut yes) = (String::new(), 0);
    for pair in pairs() {
        for side in ["fires", "holds"] {
            let account = account(pair[side].as_table().unwrap());
            for answer in answer::of_check(&account) {
                if !answer.line.starts_with("Yes") {
                    continue;
                }
                yes += 1;
                let no = account.findings.iter().find(|f| {
                    f.severity > Severity::Watch
                        && against(answer.question).contains(&f.kind.code())
                });
                if let Some(no) = no {
                    let code = said(&pair, "code").unwrap();
                    let _ = writeln!(
                        wrong,
                        "{code} {side}: {} beside {}",
                        answer.line,
                        no.kind.code()
                    );
                }
            }
        }
    }
    assert!(yes > 100, "{yes} answers say yes");
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn every_code_has_a_line_that_fires_it_and_one_that_just_does_not() {
    let mut wrong = String::new();
    for pair in pairs() {
        let code = said(&pair, "code").unwrap();
        let of = |which: &str| -> Vec<Value> {
            let all = found(pair[which].as_table().unwrap());
            all.into_iter().filter(|f| f["code"] == code).collect()
        };
        let sure = |i: usize| {
            pair.get("certainty")
                .map_or(1.0, |c| c.as_array().unwrap()[i].as_float().unwrap())
        };
        let fires = of("fires");
        match fires.first() {
            Some(f) => {
                let certainty = f["certainty"].as_f64().unwrap();
                if f["severity"] != said(&pair, "severity").unwrap()
                    || certainty < sure(0)
                    || certainty > sure(1)
                {
                    let _ = writeln!(wrong, "{code} is {} and {certainty} sure", f["severity"]);
                }
            }
            None => {
                let _ = writeln!(wrong, "{code} is not fired");
            }
        }
        let holds = of("holds");
        let second = holds.first().map(|f| f["severity"].as_str().unwrap());
        if second != said(&pair, "second") {
            let _ = writeln!(wrong, "{code} on the other line: {holds:?}");
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

/// A step of planned pipe is told with how far the pipe comes up and with the ramp that lets it fall at the least grade; of pipe that lies already nothing is called a step.
#[test]
fn a_planned_step_has_its_figures_and_laid_pipe_has_none() {
    let step = |line: &Table| -> (Value, Value) {
        let all = found(line);
        let climb = all.iter().find(|f| f["code"] == "climb").unwrap();
        let figures = &climb["figures"];
        (figures["step_up_m"].clone(), figures["ramp_m"].clone())
    };
    let all = pairs();
    let mut planned = all
        .iter()
        .map(|p| p["fires"].as_table().unwrap().clone())
        .find(|line| said(line, "more").is_some_and(|m| m.contains("raised")))
        .unwrap();
    let (up_m, ramp_m) = step(&planned);
    // From 1 m of cover to 1 m over the ground, the pipe's own radius counted; the ground falls by 1 in 10, and 1 in 100 is asked.
    let (up_m, ramp_m) = (up_m.as_f64().unwrap(), ramp_m.as_f64().unwrap());
    assert!((up_m - 2.045).abs() < 0.01, "{up_m}");
    assert!((ramp_m - up_m / (0.1 - 0.01)).abs() < 0.01, "{ramp_m}");
    let laid = said(&planned, "pipe").unwrap().replace("planned", "laid");
    planned.insert("pipe".to_owned(), Toml::String(laid));
    assert_eq!(step(&planned), (Value::Null, Value::Null));
}

/// A new kind of finding without its pair stops here; so does a pair of a code that is no more.
#[test]
fn no_code_is_without_its_pair() {
    let all = pairs();
    let has = |code: &str| {
        all.iter()
            .any(|p| said(p, "code") == Some(code) && p.get("second").is_none())
    };
    let without: Vec<&&str> = CODES.iter().filter(|c| !has(c)).collect();
    assert!(without.is_empty(), "{without:?}");
    let unknown = all
        .iter()
        .filter_map(|p| said(p, "code"))
        .find(|c| !CODES.contains(c));
    assert_eq!(unknown, None);
}
