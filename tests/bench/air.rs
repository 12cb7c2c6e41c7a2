//! How long air and anchors take on a line with many equally likely heights.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::expect_used,
    clippy::disallowed_methods,
    missing_docs,
    reason = "a bench stops at the first thing that is not as it should be"
)]

use divan::Bencher;
use std::hint::black_box;
use steadyfall::air::{self, AirInputs};
use steadyfall::anchor::{self, Loads};
use steadyfall::line::Line;
use steadyfall::numeric::Rng;
use steadyfall::profile::{self, Bore, Profile};

fn main() {
    divan::main();
}

/// An invented slope of 640 m with two humps, 330 stations and 2,000 draws.
fn line() -> (Line, Profile) {
    let pipe = steadyfall::pipe::find("PE100 SDR11 90").expect("in the catalogue");
    let points: Vec<(f64, f64)> = (0..330)
        .map(|i| {
            let s = 640.0 * f64::from(i) / 329.0;
            let humps = 3.0 * (-((s - 200.0) / 18.0_f64).powi(2)).exp()
                + 4.0 * (-((s - 410.0) / 22.0_f64).powi(2)).exp();
            (s, 78.0 * (1.0 - s / 640.0) + humps)
        })
        .collect();
    let mut line = Line::plain(&points, &pipe);
    let mut draws = Rng::new(3);
    line.geometry.heights.draws = (0..2_000)
        .map(|_| {
            let (a, b) = (draws.normal(), draws.normal());
            line.geometry
                .heights
                .station_m
                .iter()
                .zip(&line.geometry.heights.mean_m)
                .map(|(s, z)| z + 0.3 * a * (s / 40.0).sin() + 0.3 * b * (s / 25.0).cos())
                .collect()
        })
        .collect();
    line.geometry.heights.walks = 3;
    let bores = [Bore {
        to_m: 640.0,
        bore_m: line.reaches[0].pipe.inner_diameter_m,
    }];
    let profile = profile::judge(&line.geometry.heights, &bores);
    (line, profile)
}

/// Pockets, start on every draw, cure, vents, drains, order of work.
#[divan::bench(sample_count = 20)]
fn air(bencher: Bencher) {
    let (line, profile) = line();
    bencher.bench(|| {
        air::judge(
            black_box(&line),
            black_box(&profile),
            &[],
            &AirInputs::default(),
        )
    });
}

/// Thrusts, slopes, heat, floods.
#[divan::bench(sample_count = 20)]
fn anchor(bencher: Bencher) {
    let (line, _) = line();
    let loads = Loads {
        largest_pa: vec![9e5; line.geometry.heights.station_m.len()],
        by: Vec::new(),
        parting: Vec::new(),
        test_pa: Vec::new(),
        standing_pa: vec![7e5; line.geometry.heights.station_m.len()],
        flow_m3_per_s: 0.005,
    };
    bencher.bench(|| anchor::judge(black_box(&line), black_box(&loads)));
}
