//! What the blank site file shows as usual is what is taken where nothing is said: each of its lines is taken out of a site that says everything, and what is calculated with must stay.

use std::collections::BTreeSet;
use std::path::Path;
use steadyfall::form::blank;
use steadyfall::line::{self, Line};
use steadyfall::reading::ReadOptions;
use steadyfall::route::{Route, RouteOptions};
use steadyfall::site::{Site, read_text};
use steadyfall::study::{read_options, read_route_from};
use steadyfall::survey;
use steadyfall::unit::Units;

/// Lines of the blank file whose value is the one that is taken without them: table, key, value.
#[rustfmt::skip]
const USUAL: &[(&str, &str, &str)] = &[
    ("", "format", "1"),
    ("", "units", "metric"),
    ("corrosion", "earth", "copper"),
    ("fitting", "open", "1.0"),
    ("ground", "dig", "easy"),
    ("intake", "entrance", "sharp"),
    ("intake", "kind", "box"),
    ("limits", "fill_speed", "0.3 m/s"),
    ("limits", "misclosure", "ordinary"),
    ("limits", "velocity", "2.5 m/s"),
    ("mark", "cock", "open"),
    ("mark", "state", "works"),
    ("movement", "during", "all jets"),
    ("movement", "law", "stroke"),
    ("movement", "often", "routine"),
    ("pipe", "condition", "new"),
    ("pipe", "joint", "fused"),
    ("pipe", "state", "laid"),
    ("regrade", "dig_price", "1.0"),
    ("regrade", "least_grade", "1 in 100"),
    ("regrade", "prop_price", "1.0"),
    ("survey", "misclosure", "ordinary"),
    ("survey", "spread", "set-ups"),
    ("survey", "staff", "5 m"),
    ("survey.tape", "expansion_per_k", "1.16e-5"),
    ("survey.tape", "modulus", "200 GPa"),
    ("survey.tape", "standard_temperature", "20 C"),
    ("turbine", "discharge_coefficient", "0.95"),
    ("turbine", "velocity_coefficient", "0.97"),
];

/// Lines whose value another line of the same site says too, or that name what is read elsewhere.
const SAID_ELSEWHERE: &[(&str, &str, &str)] = &[
    ("gauge", "date", "2026-05-14"),
    ("pipe", "from", "0 m"),
    ("pipe", "inner_diameter", "82.5 mm"),
    ("pipe", "outer_diameter", "88.9 mm"),
    ("stream", "files", "[\"bucket.csv\"]"),
];

/// A book that is long enough for every station of the blank file.
const BOOK: &str = "station_m,height_m\n0,412.3\n150,380\n300,340\n450,300\n";

/// Every line of the blank file in use, empty where it is none, with the table it stands in. A tape is of the whole survey.
fn whole() -> Vec<(String, String)> {
    let mut table = String::new();
    let text = blank(Units::Metric)
        .replace("[survey.part.tape]", "[survey.tape]")
        .replace("kind = \"gpx\"", "kind = \"angle\"");
    let lines = text.lines().map(|line| {
        let ready = line.strip_prefix('#').unwrap_or(line);
        let is_ready = ready.starts_with(|c: char| c.is_ascii_lowercase() || c == '[');
        let line = if is_ready { ready } else { "" };
        if let (true, Some((head, _))) = (line.starts_with('['), line.split_once(']')) {
            table = head.trim_start_matches('[').to_owned();
        }
        (table.clone(), line.to_owned())
    });
    lines.collect()
}

fn read(lines: &[(String, String)]) -> Option<Site> {
    let text: String = lines.iter().map(|(_, l)| format!("{l}\n")).collect();
    read_text("site.toml", &text)
        .map_err(|f| eprintln!("{f}"))
        .ok()
}

/// What a site is calculated with: its line, but for the list of what was taken, and how its books are read.
fn calculated(site: &Site, route: &Route) -> Option<(Line, ReadOptions)> {
    let mut line = line::build(site, route).ok()?;
    line.assumed.clear();
    Some((line, read_options(site)))
}

#[test]
fn what_is_shown_as_usual_is_taken_where_nothing_is_said() {
    let book = survey::read_bytes(BOOK.as_bytes(), "book.csv", None, &ReadOptions::default());
    let options = RouteOptions {
        along_slope: Some(true),
        ..RouteOptions::default()
    };
    let route = Route::from(&[book.unwrap()], &options).unwrap();
    let lines = whole();
    let all = calculated(&read(&lines).unwrap(), &route).unwrap();
    let (mut same, mut changed) = (BTreeSet::new(), 0);
    for (i, (table, said)) in lines.iter().enumerate() {
        let Some((key, value)) = said.split_once(" = ") else {
            continue;
        };
        let mut without = lines.clone();
        without[i].1.clear();
        let left = read(&without).and_then(|site| calculated(&site, &route));
        let value = value.split("  #").next().unwrap().trim().trim_matches('"');
        match left {
            Some(left) if left == all => {
                same.insert((table.as_str(), key, value));
            }
            Some(_) => changed += 1,
            // It cannot be left out.
            None => {}
        }
    }
    // Much of a survey is read with its files, which this line has none of.
    let usual: BTreeSet<_> = USUAL.iter().copied().collect();
    same.retain(|s| {
        !SAID_ELSEWHERE.contains(s) && (!s.0.starts_with("survey") || usual.contains(s))
    });
    let apart: Vec<_> = same.symmetric_difference(&usual).collect();
    assert!(apart.is_empty(), "{apart:?}");
    assert!(changed > 100, "{changed}");
}

/// A known height is a part of the survey itself: its usual doubt shows in the route.
#[test]
fn a_known_height_is_as_sure_as_is_shown() {
    let shown = whole().into_iter();
    let mut shown =
        shown.filter(|(table, line)| table == "survey.tie" && line.starts_with("sd = "));
    let usual = shown.next().unwrap().1;
    let route = |sd: &str| {
        let text = format!(
            "format = 1\n[survey]\nfiles = [\"book.csv\"]\nof = \"invert\"\ntaped = \"slope\"\n\
             [[survey.tie]]\nat = \"0 m\"\nelevation = \"412.35 m\"\n{sd}\n[[pipe]]\nspec = \"PE100 SDR11 90\"\n"
        );
        let site = read_text("site.toml", &text).unwrap();
        let book = |_: &Path, kind, options: &ReadOptions| {
            survey::read_bytes(BOOK.as_bytes(), "book.csv", kind, options)
        };
        read_route_from(&site, &book).unwrap().heights
    };
    assert_eq!(route(""), route(&usual));
    assert_ne!(route(""), route("sd = \"0.05 m\""));
}
