//! A day of a logger, a row each second: its rows read alone, and read with its steady spells found and judged.
//!
//! `cargo bench --bench log`. The bar: no more than twice the rows alone, in instructions: `.ci/counted.sh` counts them.
#![allow(
    clippy::expect_used,
    reason = "a bench stops at the first thing that is not as it should be"
)]

use divan::Bencher;
use std::fmt::Write as _;
use std::hint::black_box;
use steadyfall::gauge_book::{judge, read_text};
use steadyfall::line::{Discharge, Jet, Line, Outlet};
use steadyfall::numeric::Rng;
use steadyfall::text::{Sheet, decode};
use steadyfall::unit::clock_s;

fn main() {
    // Once each, for whoever counts instructions.
    if std::env::args().any(|a| a == "once") {
        let (line, day) = (line(), day());
        println!("{} {}", rows_alone(&day), whole_day(&line, &day));
    } else {
        divan::main();
    }
}

const ROWS: usize = 86_400;

/// An invented slope of 640 m and 78 m with four jets.
fn line() -> Line {
    let pipe = steadyfall::pipe::find("PE100 SDR11 90").expect("in the catalogue");
    let mut line = Line::plain(&[(0.0, 78.0), (640.0, 0.0)], &pipe);
    let jet = Jet {
        name: "a".to_owned(),
        nozzle_diameter_m: 0.009,
        open: 1.0,
        discharge_coefficient: 0.95,
        velocity_coefficient: 0.97,
    };
    line.outlet = Some(Outlet {
        how: Discharge::Jets(vec![jet; 4]),
        nozzle_height_m: 0.4,
        water_to_wire: None,
    });
    line
}

/// All jets but for two hours shut, read to a millimetre with a scatter of 5 cm.
fn day() -> String {
    let mut draws = Rng::new(1);
    let mut text = String::from("time,pressure_m\n");
    for second in 0..ROWS {
        let level = if (25_200..32_400).contains(&second) {
            78.0
        } else {
            66.0
        };
        let (hour, minute, second) = (second / 3600, second / 60 % 60, second % 60);
        let head = level + draws.between(-0.05, 0.05);
        writeln!(
            text,
            "2026-05-14T{hour:02}:{minute:02}:{second:02}Z,{head:.3}"
        )
        .expect("text takes it");
    }
    text
}

/// What nobody can do without: bytes to text, text to cells, a cell to a time, a cell to a figure.
#[inline(never)]
fn rows_alone(day: &str) -> usize {
    let text = decode("log.csv", day.as_bytes()).expect("text").text;
    let sheet = Sheet::read("log.csv", &text).expect("a sheet");
    let read = sheet.rows.iter().filter(|row| {
        let time = clock_s(sheet.text(row, 0)).map(black_box);
        let head = sheet.number(row, 1).expect("a number").map(black_box);
        time.is_some() && head.is_some()
    });
    let read = read.count();
    assert_eq!(read, ROWS);
    read
}

/// All of `steadyfall log` that goes with the rows.
#[inline(never)]
fn whole_day(line: &Line, day: &str) -> usize {
    let book = read_text(day.as_bytes(), "log.csv", line).expect("a log");
    assert_eq!((book.rows, book.entries.len()), (ROWS, 2));
    black_box(judge(line, &[], &book.entries)).rows.len()
}

#[divan::bench(sample_count = 10)]
fn read_alone(bencher: Bencher) {
    let day = day();
    bencher.bench(|| rows_alone(black_box(&day)));
}

#[divan::bench(sample_count = 10)]
fn read_and_judged(bencher: Bencher) {
    let (line, day) = (line(), day());
    bencher.bench(|| whole_day(&line, black_box(&day)));
}
