//! A user who thinks in feet, inches, psi and gallons gets them everywhere: nothing metric is left in what is printed, drawn or written, but for result.json and the notes on formulas.

use crate::program::{home, program, room};
use serde_json::Value;
use std::fs;
use std::path::Path;

/// Metric units that would stand behind a figure.
const METRIC: [&str; 20] = [
    "m", "mm", "cm", "km", "kPa", "Pa", "MPa", "bar", "L/s", "L", "m/s", "m3", "m\u{b3}", "kg",
    "N", "kN", "\u{b0}C", "C", "m\u{b2}", "kg/m",
];

/// Figures with a metric unit in a text, each with what stands round it.
fn metric(text: &str) -> Vec<String> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let clean = |w: &str| {
        w.trim_matches(|c: char| "()[],;.:\"'*!?".contains(c))
            .to_owned()
    };
    let is_figure = |w: &str| {
        let w = clean(w);
        w.chars().any(|c| c.is_ascii_digit())
            && w.chars()
                .all(|c| c.is_ascii_digit() || "+-.,\u{b1}\u{2212}".contains(c))
    };
    let mut out: Vec<String> = words
        .windows(2)
        .filter(|w| is_figure(w[0]) && METRIC.contains(&clean(w[1]).as_str()))
        .map(|w| w.join(" "))
        .collect();
    // "40°C" and "12mm" without a blank between.
    out.extend(words.iter().filter_map(|w| {
        let w = clean(w);
        let unit = w.trim_start_matches(|c: char| c.is_ascii_digit() || "+-.,".contains(c));
        (unit.len() < w.len() && METRIC.contains(&unit)).then_some(w.clone())
    }));
    out
}

/// What a reader of a page sees, but for the notes on how figures are worked out, which are in SI and say so.
fn seen(page: &str) -> String {
    let mut text = page.to_owned();
    // The notes stand last in their section, a fold within a fold.
    for (from, to) in [
        ("<style", "</style>"),
        ("<details id=\"basis\"", "</section>"),
    ] {
        while let Some((before, after)) = text.split_once(from) {
            let rest = after.split_once(to).map_or("", |(_, r)| r);
            text = format!("{before}{rest}");
        }
    }
    let mut out = String::new();
    let mut in_script = false;
    for part in text.split('<') {
        let (tag, words) = part.split_once('>').unwrap_or(("", part));
        in_script = tag.starts_with("script") || (in_script && !tag.starts_with("/script"));
        if !in_script {
            // Cells and labels stand apart: a nought on one and the arrow's N on the next are no force.
            out.push_str(" | ");
            out.push_str(words);
        }
    }
    out.replace("&#39;", "'").replace("&nbsp;", " ")
}

/// Texts of a result: what is said in words is in the user's units, figures are in SI by their keys.
fn texts(value: &Value, out: &mut Vec<String>) {
    match value {
        Value::String(s) => out.push(s.clone()),
        Value::Array(list) => list.iter().for_each(|v| texts(v, out)),
        Value::Object(map) => map.values().for_each(|v| texts(v, out)),
        _ => {}
    }
}

fn folder_is_clean(folder: &Path) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let text = fs::read_to_string(&path).unwrap();
        let left = match name.rsplit('.').next().unwrap() {
            "html" | "svg" => metric(&seen(&text)),
            "json" => {
                let mut all = Vec::new();
                texts(&serde_json::from_str(&text).unwrap(), &mut all);
                all.iter().flat_map(|t| metric(t)).collect()
            }
            "csv" => {
                let heads = text.lines().next().unwrap();
                assert!(
                    !heads
                        .split(',')
                        .any(|h| ["_m", "_pa", "_mm", "_kg", "_n", "_bar"]
                            .iter()
                            .any(|u| h.ends_with(u))),
                    "{name}: {heads}"
                );
                metric(&text.replace(',', " "))
            }
            _ => metric(&text),
        };
        assert!(left.is_empty(), "{name}: {left:?}");
    }
}

fn ran(dir: &Path, arguments: &[&str]) -> String {
    let out = program(dir).args(arguments).output().unwrap();
    assert!(
        out.status.success(),
        "{arguments:?}: {}",
        String::from_utf8_lossy(&out.stderr)
    );
    String::from_utf8(out.stdout).unwrap()
}

fn sample(name: &str, change: &[(&str, &str)]) -> std::path::PathBuf {
    let dir = room(name);
    let from = home("sample-surveys/juniper-draw");
    for file in ["level-book.csv", "stream-weir.csv"] {
        fs::copy(from.join(file), dir.join(file)).unwrap();
    }
    let mut site = fs::read_to_string(from.join("site.toml")).unwrap();
    for (old, new) in change {
        assert!(site.contains(old), "{old}");
        site = site.replace(old, new);
    }
    fs::write(dir.join("site.toml"), site).unwrap();
    dir
}

#[test]
fn the_finder_of_metric_figures_finds_them() {
    assert_eq!(
        metric("at 12 m, 3.5 mm; 40\u{b0}C and 2.5 bar."),
        ["12 m,", "3.5 mm;", "2.5 bar.", "40\u{b0}C"]
    );
    assert!(metric("12 ft, 3 in, 40 psi, 4 A, 2 kW, SDR 11 110").is_empty());
    assert_eq!(seen("<p>1 m</p><style>2 m</style><script>3 m</script><section><details id=\"basis\">4 m</details></section><p>5 m</p>").split_whitespace().collect::<Vec<_>>(), ["|", "|", "1", "m", "|", "|", "|", "|", "5", "m", "|"]);
}

#[test]
fn a_check_before_and_after_the_pipe_is_laid() {
    for (name, change) in [
        ("us-laid", &[][..]),
        (
            "us-planned",
            &[
                ("state = \"laid\"", "state = \"planned\""),
                ("of = \"pipe centre\"", "of = \"ground\""),
                ("piece = \"500 ft\"", "piece = [\"300 ft\", \"500 ft\"]"),
            ][..],
        ),
    ] {
        let dir = sample(name, change);
        let left = metric(&ran(&dir, &["check", "site.toml"]));
        assert!(left.is_empty(), "{name}: {left:?}");
        folder_is_clean(&dir.join("site-results"));
    }
}

#[test]
fn a_site_that_says_little_is_told_its_defaults_in_its_units() {
    let dir = sample("us-bare", &[]);
    fs::write(
        dir.join("site.toml"),
        "format = 1\nunits = \"us\"\n[survey]\nfiles = [\"level-book.csv\"]\ntaped = \"slope\"\n[[pipe]]\nspec = \"PVC SDR26 4 in\"\nto = \"6+40 ft\"\nstate = \"planned\"\n[[pipe]]\nspec = \"PE4710 DR11 3 in IPS\"\njoint = \"compression\"\n[turbine]\njets = 2\nnozzle_diameter = \"1/2 in\"\n",
    )
    .unwrap();
    let left = metric(&ran(&dir, &["check", "site.toml"]));
    assert!(left.is_empty(), "{left:?}");
    folder_is_clean(&dir.join("site-results"));
}

#[test]
fn a_survey_sizes_pipes_and_a_storm() {
    let dir = sample("us-rest", &[]);
    let book = fs::read_to_string(dir.join("level-book.csv")).unwrap();
    // A foot of sand washed from under the pipe between 400 and 480 ft: every sight there reads a foot more.
    let after: Vec<String> = book
        .lines()
        .map(|line| {
            let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
            let station = cells[0].replace('+', "").parse::<f64>().unwrap_or(0.0);
            if (400.0..=480.0).contains(&station)
                && let Some(is) = cells.get(2).and_then(|c| c.parse::<f64>().ok())
            {
                cells[2] = format!("{:.2}", is + 1.0);
            }
            cells.join(",")
        })
        .collect();
    fs::write(dir.join("after.csv"), after.join("\n")).unwrap();
    for arguments in [
        &[
            "survey",
            "level-book.csv",
            "--taped",
            "slope",
            "--units",
            "us",
        ][..],
        &["size", "site.toml", "--units", "us"],
        &["pipes", "PE4710", "DR11", "--units", "us"],
        &["compare", "site.toml", "--after", "after.csv"],
    ] {
        let left = metric(&ran(&dir, arguments));
        assert!(left.is_empty(), "{arguments:?}: {left:?}");
    }
    folder_is_clean(&dir.join("level-book-survey-results"));
    folder_is_clean(&dir.join("site-after-results"));
}

#[test]
fn a_walk_in_metres_is_told_in_feet() {
    let dir = room("us-walk");
    for name in ["walk.gpx", "after-storm.gpx", "site.toml"] {
        fs::copy(
            home(&format!("sample-surveys/otter-gill/{name}")),
            dir.join(name),
        )
        .unwrap();
    }
    for arguments in [
        &["survey", "walk.gpx", "--units", "us"][..],
        &["check", "site.toml", "--units", "us"],
        &[
            "compare",
            "site.toml",
            "--after",
            "after-storm.gpx",
            "--units",
            "us",
        ],
    ] {
        let left = metric(&ran(&dir, arguments));
        assert!(left.is_empty(), "{arguments:?}: {left:?}");
    }
    for folder in ["walk-survey-results", "site-results", "site-after-results"] {
        folder_is_clean(&dir.join(folder));
    }
}

#[test]
fn what_is_refused_of_a_line_is_told_in_feet_and_in_metres_where_they_are_asked_for() {
    let dir = sample("us-refused", &[]);
    let site = fs::read_to_string(dir.join("site.toml")).unwrap();
    for (change, units, holds) in [
        (
            ("at = \"0+08 ft\"", "at = \"99+00 ft\""),
            None,
            "the station 9900 ft is not on the pipeline",
        ),
        (
            ("at = \"0+08 ft\"", "at = \"99+00 ft\""),
            Some("metric"),
            "the station 3017.52 m is not on the pipeline",
        ),
        (("to = \"6+40 ft\"", "to = \"99+00 ft\""), None, "9900 ft"),
        (
            (
                "from = \"0+00 ft\"\nto = \"2+00 ft\"",
                "from = \"2+00 ft\"\nto = \"0+10 ft\"",
            ),
            None,
            "0+10 ft",
        ),
        (
            (
                "joint = \"solvent\"",
                "joint = \"solvent\"\nfrom = \"0+00 ft\"\n[[pipe]]\nspec = \"PVC SDR26 4 in\"\nfrom = \"6+50 ft\"\nto = \"7+00 ft\"",
            ),
            None,
            "it begins at 650 ft, the one above ends at 640 ft",
        ),
    ] {
        assert!(site.contains(change.0), "{}", change.0);
        fs::write(dir.join("site.toml"), site.replacen(change.0, change.1, 1)).unwrap();
        let mut call = vec!["check", "site.toml"];
        call.extend(units.iter().flat_map(|u| ["--units", u]));
        let out = program(&dir).args(&call).output().unwrap();
        let told = String::from_utf8(out.stderr).unwrap();
        assert_eq!(out.status.code(), Some(2), "{change:?}: {told}");
        assert!(told.contains(holds), "{change:?}: {told}");
        let left = metric(&told);
        assert_eq!(left.is_empty(), units.is_none(), "{left:?}: {told}");
    }
    // A walk of eight metres, and two walks that do not belong together.
    let walk = |name: &str, lat: f64, step: f64| {
        let fixes: String = (0..30)
            .map(|i| {
                let lat = lat + f64::from(i) * step;
                format!(
                    "<trkpt lat=\"{lat:.7}\" lon=\"-114.2\"><ele>{}</ele></trkpt>",
                    900 - i
                )
            })
            .collect();
        let text = format!(
            "<gpx version=\"1.1\" creator=\"hand\" xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><name>{name}</name><trkseg>{fixes}</trkseg></trk></gpx>"
        );
        fs::write(dir.join(name), text).unwrap();
    };
    walk("short.gpx", 44.0, 2e-6);
    walk("one.gpx", 44.0, 1e-4);
    walk("far.gpx", 44.1, 1e-4);
    for (files, holds) in [
        (&["short.gpx"][..], "less than 66 ft from end to end"),
        (&["one.gpx", "far.gpx"], "at least 35353 ft from \""),
    ] {
        let mut call = vec!["survey", "--units", "us"];
        call.extend(files);
        let out = program(&dir).args(&call).output().unwrap();
        let told = String::from_utf8(out.stderr).unwrap();
        assert_eq!(out.status.code(), Some(2), "{told}");
        assert!(told.contains(holds), "{told}");
        assert!(metric(&told).is_empty(), "{told}");
    }
}
