//! What the doubt of a survey costs: heights of walks by length and number, and the judging of the profile.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::disallowed_methods,
    missing_docs,
    unreachable_pub,
    reason = "a bench stops at the first thing that is not as it should be"
)]

#[path = "../all/invented.rs"]
mod invented;

use divan::{Bencher, black_box};
use invented::{Setting, Walk};
use steadyfall::heights::{HeightsOptions, ReadingBlock, walked};
use steadyfall::profile::{Bore, judge};

fn main() {
    divan::main();
}

fn case(length_m: f64, passes: usize) -> (Vec<ReadingBlock>, Vec<f64>) {
    let setting = Setting {
        length_m,
        drop_m: 0.12 * length_m,
        passes,
        ..Setting::default()
    };
    let stations = (0..=(length_m / 2.0) as usize)
        .map(|i| 2.0 * i as f64)
        .collect();
    (Walk::new(&setting, 5).blocks(), stations)
}

/// Three walks over lines of growing length: the bar is 250 ms for 640 m, and it must grow with the length.
#[divan::bench(args = [320, 640, 1280, 2560, 10_240], sample_count = 5)]
fn three_walks(bencher: Bencher<'_, '_>, length_m: u32) {
    let (blocks, stations) = case(f64::from(length_m), 3);
    let options = HeightsOptions::default();
    bencher.bench(|| walked(black_box(&blocks), &[], &[], &stations, &options));
}

/// 640 m with one to six walks.
#[divan::bench(args = [1, 2, 4, 6], sample_count = 10)]
fn walks_over_640_m(bencher: Bencher<'_, '_>, passes: usize) {
    let (blocks, stations) = case(640.0, passes);
    let options = HeightsOptions::default();
    bencher.bench(|| walked(black_box(&blocks), &[], &[], &stations, &options));
}

/// Judging the profile on all draws of three walks over 640 m.
#[divan::bench(sample_count = 20)]
fn judging(bencher: Bencher<'_, '_>) {
    let (blocks, stations) = case(640.0, 3);
    let heights = walked(&blocks, &[], &[], &stations, &HeightsOptions::default()).heights;
    let bores = [Bore {
        to_m: 640.0,
        bore_m: 0.08,
    }];
    bencher.bench(|| judge(black_box(&heights), &bores));
}
