//! What the sheet says, figure by figure, against the very place of result.json that holds it.

use crate::drawing::{SAMPLES, result, sample};
use serde_json::Value;
use steadyfall::drawing::{PaperSize, ProfileSheet, Role, Text, profile};
use steadyfall::unit::Units;
use steadyfall::view::section;

const FOOT_M: f64 = 0.3048;
const PSI_PA: f64 = 6_894.757_293_168;

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("no number: {value}"))
}

fn sheets(name: &str) -> Vec<ProfileSheet> {
    let account = sample(name);
    profile(&section::of_check(account), PaperSize::usual(account.units))
}

/// Texts of the table under one place across, from the top down.
fn under(sheet: &ProfileSheet, x: f64) -> Vec<&Text> {
    let mut all: Vec<&Text> = sheet
        .sheet
        .texts()
        .into_iter()
        .filter(|t| t.role == Role::Figure && !t.turned && (t.at.0 - x).abs() < 0.01)
        .filter(|t| t.at.1 > sheet.frame.bottom_mm)
        .collect();
    all.sort_by(|a, b| a.at.1.total_cmp(&b.at.1));
    all
}

/// A figure as it is shown is the value rounded to the digits that are shown, and nothing else: the result itself stops at a tenth of a millimetre or a pascal.
fn is_shown(text: &str, value: f64, unit: f64) {
    let decimals = text.split_once('.').map_or(0, |(_, d)| d.len() as i32);
    let shown: f64 = text.parse().unwrap_or_else(|_| panic!("no figure: {text}"));
    let last = if unit > 100.0 { 0.6 } else { 0.6e-4 };
    let room = 0.5 * 10_f64.powi(-decimals) + last / unit;
    assert!(
        (shown - value / unit).abs() <= room,
        "{text} is shown for {value} / {unit}"
    );
}

#[test]
fn every_cell_of_the_table_is_its_own_figure_of_the_result() {
    for name in SAMPLES {
        let us = sample(name).units == Units::Us;
        let (metre, bar) = if us { (FOOT_M, PSI_PA) } else { (1.0, 1e5) };
        let columns = result(name)["section"].as_array().unwrap();
        assert!(columns.len() >= 8);
        let mut seen = 0;
        for sheet in &sheets(name) {
            let stands = |column: &Value| {
                let s = number(&column["station_m"]);
                let own = sheet
                    .columns
                    .iter()
                    .find(|c| (c.station_m - s).abs() < 1e-3);
                own.map(|c| c.x_mm)
            };
            for (column, x) in columns.iter().filter_map(|c| Some((c, stands(c)?))) {
                let cells = under(sheet, x);
                let texts: Vec<&str> = cells.iter().map(|t| t.text.as_str()).collect();
                assert_eq!(texts.len(), 5, "{name}: {texts:?}");
                is_shown(texts[0], number(&column["station_m"]), metre);
                is_shown(texts[1], number(&column["elevation_m"]), metre);
                for (text, key) in texts[2..]
                    .iter()
                    .zip(["standing_pa", "running_pa", "surge_pa"])
                {
                    is_shown(text, number(&column[key]), bar);
                }
                seen += 1;
            }
            for pair in columns.windows(2) {
                let (Some(a), Some(b)) = (stands(&pair[0]), stands(&pair[1])) else {
                    continue;
                };
                for cell in under(sheet, 0.5 * (a + b)) {
                    falls(&cell.text, number(&pair[0]["fall"]));
                }
            }
        }
        assert!(seen >= columns.len(), "{name}: {seen} of {}", columns.len());
    }
}

/// "1 in 7.2", "up 1 in 23", "level".
fn falls(text: &str, fall: f64) {
    if text == "level" {
        assert!(fall.abs() < 0.0021, "level for {fall}");
        return;
    }
    let (up, run) = match text.strip_prefix("up 1 in ") {
        Some(run) => (true, run),
        None => (
            false,
            text.strip_prefix("1 in ")
                .unwrap_or_else(|| panic!("{text}")),
        ),
    };
    assert_eq!(up, fall < 0.0, "{text} for {fall}");
    // The fall is rounded to the tenth of a thousandth before it is turned over.
    let (low, high) = (fall.abs() - 0.6e-4, fall.abs() + 0.6e-4);
    let half = if run.contains('.') { 0.05 } else { 0.5 };
    let run: f64 = run.parse().unwrap();
    assert!(
        run >= 1.0 / high - half - 1e-9 && run <= 1.0 / low + half + 1e-9,
        "{text} for {fall}"
    );
}

#[test]
fn the_columns_are_the_figures_of_their_stations() {
    for name in SAMPLES {
        let result = result(name);
        let points = |list: &Value, key: &str, at: f64| -> f64 {
            let all = list.as_array().unwrap();
            let point = all
                .iter()
                .find(|p| (number(&p["station_m"]) - at).abs() < 1e-6)
                .unwrap_or_else(|| panic!("{name}: nothing at {at}"));
            number(&point[key])
        };
        let case = |name: &str| {
            let all = result["cases"].as_array().unwrap();
            &all.iter().find(|c| c["name"] == name).unwrap()["points"]
        };
        for column in result["section"].as_array().unwrap() {
            let at = number(&column["station_m"]);
            assert_eq!(
                number(&column["elevation_m"]),
                points(&result["route"]["points"], "elevation_m", at)
            );
            assert_eq!(
                number(&column["running_pa"]),
                points(case("all jets"), "pressure_pa", at)
            );
            assert_eq!(
                number(&column["standing_pa"]),
                points(case("shut"), "pressure_pa", at)
            );
            // The surge is that of one of the movements.
            let surge = number(&column["surge_pa"]);
            let of_one = result["surges"]
                .as_array()
                .unwrap()
                .iter()
                .any(|s| points(&s["points"], "pressure_max_pa", at) == surge);
            assert!(of_one, "{name} at {at}: {surge}");
        }
    }
}

#[test]
fn every_label_of_a_mark_tells_the_station_of_that_mark() {
    for name in SAMPLES {
        let us = sample(name).units == Units::Us;
        let unit = if us { FOOT_M } else { 1.0 };
        let marks = result(name)["marks"].as_array().unwrap();
        let mut seen = 0;
        for sheet in &sheets(name) {
            for text in sheet
                .sheet
                .texts()
                .into_iter()
                .filter(|t| t.role == Role::Figure && t.turned)
            {
                let id = text.text.split(' ').next().unwrap_or_default();
                let Some(mark) = marks.iter().find(|m| m["id"] == id) else {
                    continue;
                };
                let (_, at) = text.text.rsplit_once(", ").unwrap();
                let figure = at.split(' ').next().unwrap();
                // A row of marks is told from its first to its last.
                let first = figure.split('\u{2013}').next().unwrap();
                is_shown(first, number(&mark["station_m"]), unit);
                assert!(
                    text.text.contains(mark["kind"].as_str().unwrap()),
                    "{}",
                    text.text
                );
                assert_eq!(
                    text.text.contains("req'd"),
                    mark["state"] == "wanted",
                    "{}",
                    text.text
                );
                seen += 1;
            }
        }
        assert!(seen > 5, "{name}: {seen}");
    }
}

/// A climb's low and crest have each a column, and the rise between them is written, however close they stand.
#[test]
fn every_climb_stands_in_the_table() {
    for name in SAMPLES {
        let all = sheets(name);
        let climbs = result(name)["climbs"].as_array().unwrap();
        let certain = climbs.iter().filter(|c| c["verdict"] == "climbs");
        let mut seen = 0;
        for climb in certain {
            let column = |key: &str| {
                let s = number(&climb[key]);
                all.iter().find_map(|sheet| {
                    let near = sheet
                        .columns
                        .iter()
                        .find(|c| (c.station_m - s).abs() < 1e-3);
                    near.map(|c| (sheet, c.x_mm))
                })
            };
            let (sheet, low) = column("low_station_m").expect("a column of the low");
            let (_, crest) = column("crest_station_m").expect("a column of the crest");
            let between = under(sheet, 0.5 * (low + crest));
            assert!(
                between[0].text.starts_with("up 1 in "),
                "{name}: {between:?}"
            );
            seen += 1;
        }
        assert!(seen > 0, "{name} has a climb");
    }
}
