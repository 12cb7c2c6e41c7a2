//! Speed of the catalogue, of strength and of laying.

#![allow(
    clippy::disallowed_methods,
    missing_docs,
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a bench stops at the first thing that is not as it should be"
)]

use steadyfall::laying;
use steadyfall::line::Line;
use steadyfall::pipe::{self, Often, RunState};
use steadyfall::profile::Profile;
use steadyfall::strength::{self, Load, Which};

fn main() {
    divan::main();
}

/// A line of 640 m on 1,000 stations with 1,000 equally likely heights and fifteen states.
fn line() -> (Line, Vec<Load>) {
    let points: Vec<(f64, f64)> = (0..1000)
        .map(|i| 0.64 * f64::from(i))
        .map(|s| (s, 80.0 - 0.12 * s + (s / 40.0).sin()))
        .collect();
    let mut line = Line::plain(&points, &pipe::find("PE100 SDR 11 110").unwrap());
    line.reaches[0].is_laid = false;
    line.environment.situation.sun = true;
    line.environment.situation.hottest_air_c = 24.0;
    let mean = line.geometry.heights.mean_m.clone();
    line.geometry.heights.draws = (0..1000)
        .map(|k| mean.iter().map(|z| z + f64::from(k % 7) * 0.1).collect())
        .collect();
    let loads = (0..15)
        .map(|k| {
            let name = format!("state {k}");
            let which = if k < 9 {
                Which::Running(RunState::Case(name))
            } else {
                Which::Movement {
                    run: k as usize,
                    often: Often::Rare,
                    name,
                }
            };
            Load::steady(
                which,
                mean.iter()
                    .map(|z| 9.8e3 * (80.0 - z) * (0.9 + 0.02 * f64::from(k)))
                    .collect(),
            )
        })
        .collect();
    (line, loads)
}

#[divan::bench]
fn find_one_row() -> String {
    pipe::find(divan::black_box("PE100 SDR11 90")).unwrap().spec
}

#[divan::bench]
fn strength_of_a_line(bencher: divan::Bencher<'_, '_>) {
    let (line, loads) = line();
    bencher.bench(|| strength::judge(divan::black_box(&line), &loads));
}

#[divan::bench]
fn limits_of_a_line(bencher: divan::Bencher<'_, '_>) {
    let (line, _) = line();
    bencher.bench(|| strength::limits(divan::black_box(&line)));
}

#[divan::bench]
fn laying_of_a_line(bencher: divan::Bencher<'_, '_>) {
    let (line, _) = line();
    bencher.bench(|| laying::plan(divan::black_box(&line), &Profile::default(), None, None));
}
