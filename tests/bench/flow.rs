//! How long running states and sizes take.
#![allow(
    clippy::expect_used,
    reason = "a bench stops at the first thing that is not as it should be"
)]

use divan::Bencher;
use std::hint::black_box;
use steadyfall::flow;
use steadyfall::line::{Discharge, Jet, Line, Outlet};
use steadyfall::size::{self, SizeOptions};

fn main() {
    divan::main();
}

/// An invented slope of 640 m and 78 m with 2,000 stations and four jets.
fn line() -> Line {
    let pipe = steadyfall::pipe::find("PE100 SDR11 90").expect("in the catalogue");
    let points: Vec<(f64, f64)> = (0..2000)
        .map(|i| {
            let s = 640.0 * f64::from(i) / 1999.0;
            (
                s,
                78.0 * (1.0 - s / 640.0) + 0.4 * steadyfall::numeric::math::sin(s / 20.0),
            )
        })
        .collect();
    let mut line = Line::plain(&points, &pipe);
    line.intake.level_m += 0.6;
    line.geometry.heights.drop_sd_m = 0.8;
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

/// Every running state with its doubts.
#[divan::bench]
fn running_states(bencher: Bencher) {
    let line = line();
    bencher.bench(|| flow::cases(black_box(&line)));
}

/// The whole catalogue with every choice of jets, steady state only: about 800 candidates.
#[divan::bench(sample_count = 10)]
fn sizes_screened(bencher: Bencher) {
    let line = line();
    let options = SizeOptions {
        of: Some(String::new()),
        show: 20,
        march: false,
    };
    bencher.bench(|| size::study(black_box(&line), &options));
}
