//! The drawings: nothing over anything, every figure one of result.json, true scales, text that stays text.

use crate::program::home;
use serde_json::Value;
use std::sync::OnceLock;
use steadyfall::drawing::{
    self, ClimbReach, Item, LongSection, PaperSheet, PaperSize, PipeBand, PlanBend, PlanPush,
    PlanReach, PlanTag, PlanView, PushWay, Role, SectionLine, Series, Symbol, TableRow, Tag, Text,
    Write, plan, profile, svg,
};
use steadyfall::json;
use steadyfall::numeric::Rng;
use steadyfall::report::account::Report;
use steadyfall::study::{Study, read_route};
use steadyfall::unit::Units;
use steadyfall::view::{plan as plan_view, section};
use steadyfall::{line, site};

/// A sample, judged once for every test.
pub fn sample(name: &str) -> &'static Report {
    static OTTER: OnceLock<Report> = OnceLock::new();
    static JUNIPER: OnceLock<Report> = OnceLock::new();
    let (cell, units) = match name {
        "otter-gill" => (&OTTER, Units::Metric),
        _ => (&JUNIPER, Units::Us),
    };
    cell.get_or_init(|| {
        let path = home(&format!("sample-surveys/{name}/site.toml"));
        let text = std::fs::read_to_string(&path).unwrap();
        let site = site::read_text(&path.display().to_string(), &text).unwrap();
        let route = read_route(&site).unwrap();
        let line = line::build(&site, &route).unwrap();
        Report::of(Study::of(route, line), units)
    })
}

/// The result as it is written.
pub fn result(name: &str) -> &'static Value {
    static OTTER: OnceLock<Value> = OnceLock::new();
    static JUNIPER: OnceLock<Value> = OnceLock::new();
    let cell = if name == "otter-gill" {
        &OTTER
    } else {
        &JUNIPER
    };
    cell.get_or_init(|| json::of_check(sample(name)))
}

pub const SAMPLES: [&str; 2] = ["otter-gill", "juniper-draw"];

/// No text over another, none off the paper, none too small to read at arm's length.
pub fn legible(sheet: &PaperSheet, what: &str) {
    let texts: Vec<&Text> = sheet
        .texts()
        .into_iter()
        .filter(|t| !t.text.is_empty())
        .collect();
    let page = drawing::TextBox {
        left: 4.0,
        top: 4.0,
        right: sheet.width_mm - 4.0,
        bottom: sheet.height_mm - 4.0,
    };
    for (i, a) in texts.iter().enumerate() {
        assert!(
            a.size_mm >= 2.5,
            "{what}: \"{}\" is {} mm",
            a.text,
            a.size_mm
        );
        assert!(
            page.holds(&a.extent()),
            "{what}: \"{}\" runs off the paper: {:?}",
            a.text,
            a.extent()
        );
        for b in texts.iter().skip(i + 1) {
            assert!(
                !a.extent().meets(&b.extent()),
                "{what}: \"{}\" lies over \"{}\"",
                a.text,
                b.text
            );
        }
    }
}

#[test]
fn the_samples_are_legible_on_every_paper() {
    for name in SAMPLES {
        for units in [Units::Metric, Units::Us] {
            let account = Report {
                units,
                ..sample(name).clone()
            };
            let (section, plan_of) = (section::of_check(&account), plan_view::of_check(&account));
            for paper in PaperSize::ALL {
                let sheets = profile(&section, paper);
                assert!(!sheets.is_empty());
                for sheet in &sheets {
                    assert_eq!(
                        (sheet.sheet.width_mm, sheet.sheet.height_mm),
                        paper.size_mm()
                    );
                    legible(&sheet.sheet, &format!("{name} on {paper:?}"));
                }
                if let Some(view) = &plan_of {
                    legible(
                        &plan(view, paper).unwrap(),
                        &format!("plan of {name} on {paper:?}"),
                    );
                }
            }
        }
    }
}

fn invented(draws: &mut Rng) -> LongSection {
    let base = section::of_check(sample("otter-gill"));
    let length = draws.between(40.0, 6000.0);
    let count = draws.between(12.0, 400.0) as usize;
    let station_m: Vec<f64> = (0..count)
        .map(|i| length * i as f64 / (count - 1) as f64)
        .collect();
    let fall = draws.between(0.02, 0.6);
    let elevation_m: Vec<f64> = station_m
        .iter()
        .map(|s| 1200.0 - fall * s + 4.0 * (s / 37.0).sin())
        .collect();
    let tags = draws.between(0.0, 130.0) as usize;
    let mut tags: Vec<Tag> = (0..tags)
        .map(|i| {
            // Half of them crowd in one place.
            let at = if i % 2 == 0 {
                draws.between(0.0, length)
            } else {
                length * (0.4 + 0.01 * draws.uniform())
            };
            let symbol = Symbol::ALL[(draws.uniform() * 19.99) as usize];
            Tag {
                station_m: at,
                to_m: (draws.uniform() < 0.1).then(|| (at + 30.0).min(length)),
                symbol,
                wanted: draws.uniform() < 0.5,
                label: format!("X{i} some thing with a rather long name, {at:.0} m"),
                id: format!("X{i}"),
                matters: draws.uniform() < 0.6,
            }
        })
        .collect();
    tags.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    let over = |by: f64| {
        elevation_m
            .iter()
            .zip(&station_m)
            .map(|(z, s)| (*s, z + by))
            .collect::<Vec<_>>()
    };
    let figures: Vec<Option<f64>> = station_m.iter().map(|s| Some(s * 1e4)).collect();
    let low = draws.between(0.0, 0.8) * length;
    LongSection {
        series: vec![
            Series {
                trace: SectionLine::Still,
                name: "standing".into(),
                chains_m: vec![vec![(0.0, 1201.0), (length, 1201.0)]],
            },
            Series {
                trace: SectionLine::Rating,
                name: "rating".into(),
                chains_m: vec![over(draws.between(5.0, 400.0))],
            },
            Series {
                trace: SectionLine::SurgeLow,
                name: "low".into(),
                chains_m: vec![over(-8.0)],
            },
        ],
        sd_m: vec![draws.between(0.0, 3.0); count],
        ground_m: elevation_m
            .iter()
            .map(|z| (draws.uniform() < 0.9).then_some(z + 0.5))
            .collect(),
        zones: vec![
            PipeBand {
                from_m: 0.0,
                to_m: 0.3 * length,
                names: vec![
                    "a pipe with very many words to say of itself".into(),
                    "short".into(),
                ],
            },
            PipeBand {
                from_m: 0.3 * length,
                to_m: 0.302 * length,
                names: vec!["a pipe of no length".into()],
            },
            PipeBand {
                from_m: 0.302 * length,
                to_m: length,
                names: vec!["another".into()],
            },
        ],
        humps: vec![ClimbReach {
            label: String::new(),
            reach_m: (low, low + 0.1 * length),
            low_m: low,
            crest_m: low + 0.05 * length,
            end_m: low + 0.1 * length,
            certain: draws.uniform() < 0.5,
        }],
        pegs_m: station_m.clone(),
        columns_m: tags.iter().map(|t| t.station_m).collect(),
        rows: vec![
            TableRow {
                name: "station".into(),
                unit: "m".into(),
                figures: station_m.iter().copied().map(Some).collect(),
                between: false,
                write: Write::Plain {
                    size: 1.0,
                    decimals: 0,
                },
            },
            TableRow {
                name: "a row with a long name".into(),
                unit: "bar".into(),
                figures,
                between: false,
                write: Write::Plain {
                    size: 1e5,
                    decimals: 2,
                },
            },
            TableRow {
                name: "fall".into(),
                unit: String::new(),
                figures: elevation_m.iter().copied().map(Some).collect(),
                between: true,
                write: Write::Words(|f| format!("1 in {:.0}", 1.0 / f)),
            },
        ],
        station_m,
        elevation_m,
        tags,
        ..base
    }
}

#[test]
fn random_sites_are_legible_too() {
    let mut draws = Rng::new(29);
    for k in 0..60 {
        let section = invented(&mut draws);
        let paper = PaperSize::ALL[k % 4];
        for sheet in profile(&section, paper) {
            legible(&sheet.sheet, &format!("site {k} on {paper:?}"));
        }
        let mut at = (0.0, 0.0);
        let mut heading: f64 = draws.between(0.0, 6.3);
        let east_north_m: Vec<(f64, f64)> = section
            .station_m
            .windows(2)
            .map(|p| {
                heading += draws.between(-0.2, 0.2);
                let step = p[1] - p[0];
                at = (at.0 + step * heading.sin(), at.1 + step * heading.cos());
                at
            })
            .collect();
        let view = PlanView {
            units: section.units,
            station_m: section.station_m[1..].to_vec(),
            pegs_m: section.pegs_m[1..].to_vec(),
            east_north_m,
            sd_m: draws.between(0.0, 3.0),
            reaches: vec![PlanReach {
                from_m: 10.0,
                to_m: 20.0,
                certain: k % 2 == 0,
            }],
            bends: vec![PlanBend {
                station_m: 15.0,
                label: "23\u{b0}".into(),
            }],
            pushes: (0..(k % 9))
                .map(|i| PlanPush {
                    station_m: section.station_m[1] + 37.0 * i as f64,
                    way: match i % 5 {
                        3 => PushWay::Up,
                        4 => PushWay::Down,
                        _ => PushWay::Level {
                            bearing_rad: draws.between(0.0, 6.3),
                            share: draws.between(0.05, 1.0),
                        },
                    },
                    carried: i % 2 == 0,
                    label: "4.87 kN".into(),
                    name: "bend".into(),
                })
                .collect(),
            tags: section
                .tags
                .iter()
                .take(40)
                .map(|t| PlanTag {
                    station_m: t.station_m,
                    symbol: t.symbol,
                    wanted: t.wanted,
                    label: t.id.clone(),
                    name: t.label.clone(),
                })
                .collect(),
            moved: None,
            legend: section.legend.clone(),
            notes: section.notes.clone(),
            words: section.words.clone(),
        };
        legible(
            &plan(&view, paper).unwrap(),
            &format!("plan {k} on {paper:?}"),
        );
    }
}

pub fn numbers(value: &Value, out: &mut Vec<f64>) {
    match value {
        Value::Number(n) => out.extend(n.as_f64()),
        Value::Array(list) => list.iter().for_each(|v| numbers(v, out)),
        Value::Object(map) => map.values().for_each(|v| numbers(v, out)),
        _ => {}
    }
}

/// Whether a number on the sheet is one of the result's, in some unit, to its last digit.
pub fn is_told(token: &str, told: &[f64]) -> bool {
    let shown: f64 = token.parse().unwrap();
    let decimals = token.split_once('.').map_or(0, |(_, d)| d.len() as i32);
    let half = 0.500_001 * 10_f64.powi(-decimals);
    let units = [
        1.0,
        0.3048,
        1e5,
        6_894.757_293,
        1e3,
        1e-3,
        0.0254,
        6.309_02e-5,
        0.003_785_412,
        0.01,
    ];
    told.iter()
        .any(|v| units.iter().any(|u| (v.abs() / u - shown).abs() <= half))
}

#[test]
fn every_figure_on_the_sheets_is_one_of_the_result() {
    for name in SAMPLES {
        let account = sample(name);
        let mut told = Vec::new();
        numbers(result(name), &mut told);
        // The length of a run and a count of marks are told by what stands there.
        told.extend(
            (0..200)
                .map(f64::from)
                .filter(|n| account.marks.len() as f64 >= *n),
        );
        assert!(!is_told("98765.4", &told) && !is_told("0.0187", &[1.0, 2.0]));
        let mut sheets: Vec<PaperSheet> =
            profile(&section::of_check(account), PaperSize::usual(account.units))
                .into_iter()
                .map(|p| p.sheet)
                .collect();
        sheets.extend(plan_view::of_check(account).and_then(|v| plan(&v, PaperSize::A4)));
        for sheet in &sheets {
            for text in sheet.texts().iter().filter(|t| t.role == Role::Figure) {
                // Falls are told as one in so many, and stand in the list `section` as a share.
                if let Some((_, run)) = text.text.split_once("1 in ") {
                    let run: f64 = run.parse().unwrap();
                    let near = told.iter().any(|v| {
                        v.abs() > 1e-4 && (1.0 / v.abs() - run).abs() <= 0.06 * run.max(1.0)
                    });
                    assert!(near, "{name}: {}", text.text);
                    continue;
                }
                let tokens = text
                    .text
                    .split(|c: char| !(c.is_ascii_digit() || c == '.'))
                    .filter(|t| t.chars().any(|c| c.is_ascii_digit()));
                for token in tokens {
                    let token = token.trim_matches('.');
                    let named = text.text.contains(&format!("TP{token}"))
                        || text.text.contains(&format!("BM{token}"));
                    assert!(
                        named || is_told(token, &told),
                        "{name}: {token} in \"{}\"",
                        text.text
                    );
                }
            }
        }
    }
}

#[test]
fn scales_are_true_and_stated() {
    let account = sample("otter-gill");
    let sheets = profile(&section::of_check(account), PaperSize::A4);
    for sheet in &sheets {
        assert!((sheet.frame.mm_per_m * sheet.across.ratio - 1000.0).abs() < 1e-9);
        assert!((sheet.frame.up_mm_per_m * sheet.up.ratio - 1000.0).abs() < 1e-9);
        let stated = format!(
            "{} across, {} upwards",
            sheet.across.text(),
            sheet.up.text()
        );
        assert!(
            sheet.sheet.texts().iter().any(|t| t.text == stated),
            "{stated}"
        );
        // The stations' ruling is the longest row of numbers under the ground: pressures have a panel in between.
        let mut rows: std::collections::BTreeMap<i64, Vec<(f64, f64)>> = Default::default();
        for text in sheet.sheet.texts() {
            let under = text.role == Role::Ruling
                && !text.turned
                && text.at.1 > sheet.frame.bottom_mm
                && text.align == drawing::Align::Middle;
            if let (true, Ok(value)) = (under, text.text.parse::<f64>()) {
                let row = rows.entry((text.at.1 * 100.0).round() as i64).or_default();
                row.push((value, text.at.0));
            }
        }
        let rulings = rows.into_values().max_by_key(Vec::len).unwrap();
        assert!(rulings.len() > 3);
        for pair in rulings.windows(2) {
            let ground_mm = (pair[1].0 - pair[0].0) * 1000.0;
            assert!(
                ((pair[1].1 - pair[0].1) * sheet.across.ratio - ground_mm).abs() < 1e-6 * ground_mm
            );
        }
    }
}

#[test]
fn what_cannot_be_told_looks_doubtful_and_what_climbs_is_filled() {
    let mut section = invented(&mut Rng::new(3));
    let dashed = |section: &LongSection| {
        profile(section, PaperSize::A4).iter().flat_map(|s| &s.sheet.items).any(|i| {
            matches!(i, Item::Path { pen: Some(pen), chains, .. } if *pen == drawing::Ink::UNSURE_PIPE_PEN && !chains.is_empty() && chains.iter().flatten().all(|p| p.1 < s_bottom(section)))
        })
    };
    section.legend.clear();
    section.humps[0].certain = true;
    assert!(!dashed(&section));
    section.humps[0].certain = false;
    assert!(dashed(&section));
}

fn s_bottom(section: &LongSection) -> f64 {
    profile(section, PaperSize::A4)[0].frame.bottom_mm
}

#[test]
fn a_long_line_is_split_over_sheets_that_cover_it() {
    let mut draws = Rng::new(5);
    let section = loop {
        let section = invented(&mut draws);
        if section.length_m() > 3000.0 {
            break section;
        }
    };
    let sheets = profile(&section, PaperSize::A4);
    assert!(sheets.len() > 1);
    let mut at = 0.0;
    for sheet in &sheets {
        assert!((sheet.frame.from_m - at).abs() < 1e-6);
        at = sheet.frame.to_m;
    }
    assert!((at - section.length_m()).abs() < 1e-6);
}

#[test]
fn hostile_names_stay_text_in_the_drawings() {
    let hostile = "</text><script>alert(1)</script>\u{202e}\" onload=\"x";
    let mut account = sample("otter-gill").clone();
    account.study.line.heading.title = hostile.to_owned();
    for place in &mut account.study.route.places {
        place.name = hostile.to_owned();
    }
    for fitting in &mut account.study.line.fittings {
        fitting.name = hostile.to_owned();
    }
    let mut all: Vec<String> = profile(&section::of_check(&account), PaperSize::A4)
        .iter()
        .map(|p| svg(&p.sheet))
        .collect();
    all.extend(
        plan_view::of_check(&account)
            .and_then(|v| plan(&v, PaperSize::A4))
            .map(|s| svg(&s)),
    );
    assert!(all.len() > 1);
    for text in all {
        let mut reader = quick_xml::Reader::from_str(&text);
        let mut elements = 0;
        loop {
            use quick_xml::events::Event;
            match reader.read_event().unwrap() {
                Event::Start(e) | Event::Empty(e) => {
                    elements += 1;
                    let name = e.name().as_ref().to_owned();
                    assert!(
                        ["svg", "g", "path", "circle", "text", "title", "desc"]
                            .contains(&name.as_str()),
                        "an element {name} came from nowhere"
                    );
                    for attribute in e.attributes() {
                        let key = attribute.unwrap().key.as_ref().to_owned();
                        assert!(!key.starts_with("on") && !key.contains("href"), "{key}");
                    }
                }
                Event::Eof => break,
                _ => {}
            }
        }
        assert!(elements > 50);
        assert!(!text.contains('\u{202e}'));
    }
}

#[test]
fn the_reference_picture_is_fresh() {
    let account = sample("otter-gill");
    let sheets = profile(&section::of_check(account), PaperSize::A4);
    let drawn = svg(&sheets[0].sheet);
    let path = home("docs/profile.svg");
    if std::env::var_os("STEADYFALL_WRITE").is_some() {
        std::fs::write(&path, &drawn).unwrap();
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        kept == drawn,
        "docs/profile.svg is stale: run the tests with STEADYFALL_WRITE=1 and look at it"
    );
}
