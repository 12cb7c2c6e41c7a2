//! The table under the axis: station, height, fall, pressures.

use super::drawn;
use super::section_line::running;
use crate::drawing::{TableRow, Write};
use crate::flow::Run;
use crate::numeric::series::{first, last};
use crate::study::Study;
use crate::unit::Units;
use crate::unit::exact::{FOOT_M, PSI_PA};
use crate::words::Say;

/// Under this whole metres or feet would name two columns alike, m.
const SHORT_M: f64 = 30.0;

pub(super) fn shape_rows(
    station_m: &[f64],
    elevation_m: &[f64],
    say: Say,
    decimals: usize,
) -> Vec<TableRow> {
    let units = say.units;
    let size = match units {
        Units::Metric => 1.0,
        Units::Us => FOOT_M,
    };
    let unit = drawn::unit(units);
    let span_m = last(station_m) - first(station_m);
    let all = |values: &[f64]| values.iter().copied().map(Some).collect::<Vec<_>>();
    vec![
        TableRow {
            name: "station".to_owned(),
            unit: unit.to_owned(),
            figures: all(&places_m(station_m, say)),
            between: false,
            write: Write::Plain {
                size,
                decimals: usize::from(span_m < SHORT_M),
            },
        },
        TableRow {
            name: "height".to_owned(),
            unit: unit.to_owned(),
            figures: all(elevation_m),
            between: false,
            write: Write::Plain { size, decimals },
        },
        TableRow {
            name: "fall".to_owned(),
            unit: String::new(),
            figures: all(elevation_m),
            between: true,
            write: Write::Words(fall),
        },
    ]
}

/// Stations as the user has them, m.
pub(super) fn places_m(station_m: &[f64], say: Say) -> Vec<f64> {
    station_m.iter().map(|s| say.place_m(*s)).collect()
}

/// A fall between two columns in the fewest letters.
pub(super) fn fall(share: f64) -> String {
    let share = (share * 1e4).round() / 1e4;
    if share.abs() < 0.002 {
        "level".to_owned()
    } else if share > 0.0 {
        format!("1 in {}", run(1.0 / share))
    } else {
        format!("up 1 in {}", run(-1.0 / share))
    }
}

fn run(of: f64) -> String {
    if of < 9.95 {
        format!("{of:.1}")
    } else {
        format!("{of:.0}")
    }
}

pub(super) fn rows(study: &Study, say: Say, decimals: usize) -> Vec<TableRow> {
    let (heights, units) = (&study.line.geometry.heights, say.units);
    let mut rows = shape_rows(&heights.station_m, &heights.mean_m, say, decimals);
    let (size, places, unit) = match units {
        Units::Metric => (1e5, 1, "bar"),
        Units::Us => (PSI_PA, 0, "psi"),
    };
    let mut row = |head: &str, figures: Vec<Option<f64>>| {
        if figures.iter().any(Option::is_some) {
            rows.push(TableRow {
                name: head.to_owned(),
                unit: unit.to_owned(),
                figures,
                between: false,
                write: Write::Plain {
                    size,
                    decimals: places,
                },
            });
        }
    };
    let of_run = |run: &Run| {
        run.points
            .iter()
            .map(|p| Some(p.pressure_pa.max(p.pressure_below_pa)))
            .collect()
    };
    if let Some(shut) = study.cases.shut() {
        row("static", of_run(shut));
    }
    if let Some(run) = running(study) {
        row("operating", of_run(run));
    }
    if let Some(surges) = &study.surges {
        let highest = (0..heights.station_m.len())
            .map(|i| {
                surges
                    .weighed()
                    .filter_map(|s| s.points.get(i))
                    .map(|p| p.pressure_max_pa)
                    .reduce(f64::max)
            })
            .collect();
        row("surge", highest);
    }
    rows
}
