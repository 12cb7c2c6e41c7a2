//! The overlay of a comparison, and what the page and the terminal say of it, on the sample after its storm.

use crate::drawing::{is_told, legible, numbers};
use crate::program::home;
use serde_json::Value;
use std::sync::OnceLock;
use steadyfall::compare::{self, AlignOptions};
use steadyfall::drawing::{PaperSheet, PaperSize, Role, plan, profile, svg};
use steadyfall::reading::ReadOptions;
use steadyfall::report::account::{Report, StormReport};
use steadyfall::route::{Route, RouteOptions};
use steadyfall::study::{Study, read_route};
use steadyfall::survey;
use steadyfall::terminal;
use steadyfall::terminal::look::Look;
use steadyfall::unit::Units;
use steadyfall::view::moved as moved_view;
use steadyfall::{html as page, json};
use steadyfall::{line, site};

/// Otter Gill walked again, judged once.
fn storm() -> &'static StormReport {
    static STORM: OnceLock<StormReport> = OnceLock::new();
    STORM.get_or_init(|| {
        let path = home("sample-surveys/otter-gill/site.toml");
        let text = std::fs::read_to_string(&path).unwrap();
        let site = site::read_text(&path.display().to_string(), &text).unwrap();
        let before = read_route(&site).unwrap();
        let walk = home("sample-surveys/otter-gill/after-storm.gpx");
        let reading = survey::read(&walk, None, &ReadOptions::default()).unwrap();
        let again = Route::from(&[reading], &RouteOptions::default()).unwrap();
        let options = AlignOptions::default();
        let alignment = compare::align(&before, &again, &options).unwrap();
        let lies = compare::laid_on(&before, &again, &alignment);
        let study = |route: Route| {
            let line = line::build(&site, &route).unwrap();
            Study::of(route, line)
        };
        let (before, after) = (study(before), study(lies));
        let compared = compare::compared(&before, &after, &again, &options).unwrap();
        StormReport::of(
            Report::of(before, Units::Metric),
            Report::of(after, Units::Metric),
            compared,
        )
    })
}

fn sheets(paper: PaperSize) -> Vec<PaperSheet> {
    let above = moved_view::plan(storm()).and_then(|view| plan(&view, paper));
    let sides = moved_view::sections(storm());
    above
        .into_iter()
        .chain(
            sides
                .iter()
                .flat_map(|s| profile(s, paper))
                .map(|p| p.sheet),
        )
        .collect()
}

#[test]
fn the_overlay_is_legible_on_every_paper() {
    for paper in PaperSize::ALL {
        let all = sheets(paper);
        // The plan, the hump, the old climb and the slide.
        assert!(all.len() >= 4, "{}", all.len());
        for (i, sheet) in all.iter().enumerate() {
            legible(sheet, &format!("overlay {i} on {paper:?}"));
        }
    }
}

#[test]
fn every_figure_of_the_overlay_is_one_of_the_result() {
    let result = json::of_storm(storm());
    let mut told = Vec::new();
    numbers(&result, &mut told);
    // A figure after the sign of doubt is two standard deviations; marks are counted.
    let doubled: Vec<f64> = told.iter().map(|v| 2.0 * v).collect();
    told.extend(doubled);
    told.extend((0..100).map(f64::from));
    assert!(!is_told("98765.4", &told));
    for sheet in sheets(PaperSize::A4) {
        for text in sheet.texts().iter().filter(|t| t.role == Role::Figure) {
            if text.text.contains("1 in ") {
                continue;
            }
            let tokens = text
                .text
                .split(|c: char| !(c.is_ascii_digit() || c == '.'))
                .map(|t| t.trim_matches('.'))
                .filter(|t| t.chars().any(|c| c.is_ascii_digit()));
            for token in tokens {
                assert!(is_told(token, &told), "{token} in \"{}\"", text.text);
            }
        }
    }
}

#[test]
fn arrows_point_the_way_the_pipe_moved() {
    let view = moved_view::plan(storm()).unwrap();
    let moved = view.moved.as_ref().unwrap();
    // The generator slid 492 to 568 m to the right: the arrow goes there, from the line as it lay towards the line as it lies.
    let in_slide = |a: &&steadyfall::drawing::PlanArrow| (492.0..568.0).contains(&a.station_m);
    let slide = moved.arrows.iter().filter(in_slide).find(|a| a.certain);
    assert!(slide.is_some_and(|a| a.left_m < 0.0), "{:?}", moved.arrows);
    let drawn = svg(&plan(&view, PaperSize::A4).unwrap());
    assert!(drawn.contains("as it lay before") && drawn.contains("as long; ring"));
    assert!(!moved.stakes_m.is_empty() && moved.station_m.len() > 10);
}

#[test]
fn a_reach_is_drawn_as_it_lay_as_it_lies_and_as_it_is_wanted() {
    let sections = moved_view::sections(storm());
    let over = |from: f64, to: f64| {
        sections
            .iter()
            .any(|s| s.first_m() < to && s.first_m() + s.length_m() > from)
    };
    assert!(over(234.0, 266.0) && over(376.0, 409.0) && over(492.0, 568.0));
    for section in &sections {
        use steadyfall::drawing::SectionLine;
        let has = |trace| section.series.iter().any(|s| s.trace == trace);
        assert!(has(SectionLine::Before) && has(SectionLine::Regraded));
        assert!(section.length_m() < 200.0);
        // The band is of this reach: it closes at its upper end.
        assert!(section.sd_m[0] < 1e-9);
    }
}

#[test]
fn every_consequence_stands_side_by_side_with_what_to_do() {
    let result = json::of_storm(storm());
    let rows = result["storm"]["consequences"].as_array().unwrap();
    let what = |key: &str| -> Vec<&Value> {
        rows.iter()
            .filter(|r| r["what"].as_str().unwrap().contains(key))
            .collect()
    };
    for key in [
        "restart after draining",
        "with air pockets in the rising sections",
        "no air in the pipeline",
        "new low point",
        "(new)",
    ] {
        assert!(!what(key).is_empty(), "{key}: {rows:?}");
    }
    for row in rows {
        for key in ["what", "before", "now", "do"] {
            assert!(!row[key].as_str().unwrap().is_empty(), "{key} of {row}");
        }
    }
    // What got worse stands first.
    let worse: Vec<bool> = rows.iter().map(|r| r["worse"].as_bool().unwrap()).collect();
    assert!(worse.is_sorted_by(|a, b| a >= b) && worse[0], "{worse:?}");
    // The page holds each of them as a row, the terminal as a line.
    let (page, text) = (
        page::of_storm(storm()),
        terminal::of_storm(storm(), &Look::default()),
    );
    let flat: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for row in rows {
        let act = row["do"].as_str().unwrap();
        assert!(page.contains(&crate::report::shown(act)), "{act}");
        assert!(flat.contains(act), "{act}");
    }
}

#[test]
fn tonight_is_at_most_ten_lines_on_top_and_says_whether_it_may_run() {
    let result = json::of_storm(storm());
    let tonight: Vec<&str> = result["storm"]["tonight"]
        .as_array()
        .unwrap()
        .iter()
        .map(|t| t.as_str().unwrap())
        .collect();
    assert!((3..=10).contains(&tonight.len()), "{tonight:?}");
    let says = |word: &str| tonight.iter().any(|t| t.contains(word));
    // Whether it may run, where not to stand, what to shut, what to open, what to level, what to dig.
    for word in [
        "may operate",
        "Do not stand",
        "lose the intake",
        "vent near",
        "level",
        "stakes",
    ] {
        assert!(says(word), "{word}: {tonight:?}");
    }
    // What the verdict makes a condition of stands in the line that lets it operate.
    let verdict = result["verdict_text"].as_str().unwrap();
    let once = verdict.split_inclusive('.').next().unwrap();
    assert!(once.starts_with("Operate only when"), "{verdict}");
    let operate = tonight.iter().find(|t| t.contains("may operate")).unwrap();
    assert!(operate.starts_with(once), "{operate}");
    let text = terminal::of_storm(storm(), &Look::default());
    assert!(text.find("Do this first").unwrap() < text.find("Moved").unwrap());
    let page = page::of_storm(storm());
    let first = page.find("id=\"tonight\"").unwrap();
    for later in [
        "id=\"moved\"",
        "id=\"changed\"",
        "id=\"found\"",
        "id=\"overlay\"",
        "id=\"sheet\"",
    ] {
        assert!(first < page.find(later).unwrap(), "{later}");
    }
}
