//! The whole check by the number of fixes on one and the same line, and what it holds in memory at most.
#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    missing_docs,
    reason = "a bench stops at the first thing that is not as it should be"
)]

use divan::counter::ItemsCount;
use divan::{AllocProfiler, Bencher, black_box};
use std::fmt::Write as _;
use steadyfall::export;
use steadyfall::numeric::Rng;
use steadyfall::reading::{Method, ReadOptions};
use steadyfall::report::account::Report;
use steadyfall::route::{Route, RouteOptions};
use steadyfall::study::{Study, read_route_from};
use steadyfall::survey;
use steadyfall::unit::Units;
use steadyfall::{line, site};

/// Counts what is held: "max alloc" is the most at any moment.
#[global_allocator]
static HELD: AllocProfiler = AllocProfiler::system();

fn main() {
    divan::main();
}

const SIZES: [usize; 5] = [100, 1_000, 10_000, 100_000, 1_000_000];

const SITE: &str = "format = 1\n[survey]\nfiles = [\"walk.gpx\"]\nfrom = \"intake\"\n[intake]\nwater_level = \"0.6 m\"\n[[pipe]]\nspec = \"PE100 SDR11 110\"\n[turbine]\njets = 4\nnozzle_diameter = \"9 mm\"\n";

/// One walk down 640 m of an invented line in 800 s, with so many fixes.
fn walk(fixes: usize) -> String {
    let mut draws = Rng::new(11);
    let mut text = String::with_capacity(fixes * 110 + 200);
    text.push_str("<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"invented\" xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>\n");
    let mut drift = 0.0;
    let share = 1.0 / fixes as f64;
    let keeps = (-800.0 * share / 200.0).exp();
    for i in 0..fixes {
        let way = i as f64 * share;
        drift = drift * keeps + (1.0 - keeps * keeps).sqrt() * draws.normal();
        let lat = 46.0 + way * 640.0 / 111_200.0 + 5e-6 * draws.normal();
        let lon = 9.0 + 3e-4 * (way * 7.0).sin() + 5e-6 * draws.normal();
        let height = 900.0 - 80.0 * way + drift + 0.2 * draws.normal();
        let second = way * 800.0;
        let minute = (second / 60.0).floor();
        writeln!(
            text,
            "<trkpt lat=\"{lat:.7}\" lon=\"{lon:.7}\"><ele>{height:.2}</ele><time>2026-05-14T08:{minute:02.0}:{:06.3}Z</time></trkpt>",
            second - 60.0 * minute
        )
        .unwrap();
    }
    text.push_str("</trkseg></trk></gpx>\n");
    text
}

/// From bytes to every file of the folder.
#[divan::bench(args = SIZES, sample_count = 3, sample_size = 1)]
fn whole_check(bencher: Bencher<'_, '_>, fixes: usize) {
    let text = walk(fixes);
    bencher.counter(ItemsCount::new(fixes)).bench_local(|| {
        let site = site::read_text("site.toml", SITE).unwrap();
        let route = read_route_from(&site, &|_, kind, options| {
            survey::read_bytes(black_box(text.as_bytes()), "walk.gpx", kind, options)
        })
        .unwrap();
        let line = line::build(&site, &route).unwrap();
        export::sheets(&Report::of(Study::of(route, line), Units::Metric)).unwrap()
    });
}

/// Read, cleaned and put on stations: at most 250 bytes a point held beside the text.
#[divan::bench(args = SIZES, sample_count = 3, sample_size = 1)]
fn read_cleaned_stationed(bencher: Bencher<'_, '_>, fixes: usize) {
    let text = walk(fixes);
    bencher.counter(ItemsCount::new(fixes)).bench_local(|| {
        let reading = survey::read_bytes(
            black_box(text.as_bytes()),
            "walk.gpx",
            Some(Method::Gpx),
            &ReadOptions::default(),
        )
        .unwrap();
        Route::from(&[reading], &RouteOptions::default()).unwrap()
    });
}
