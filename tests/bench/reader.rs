//! Reading a receiver's file: against a bare tokenizer and another reader over the same bytes, and on to stations, in step with the number of points.
//!
//! `cargo bench --bench reader`. The bars: read, cleaned and put on stations within three times the bare tokenizer; at most 250 bytes of memory a point at the peak.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::expect_used,
    clippy::disallowed_methods,
    missing_docs,
    reason = "a bench stops at the first thing that is not as it should be"
)]

use divan::counter::ItemsCount;
use divan::{AllocProfiler, Bencher, black_box};
use quick_xml::Reader;
use quick_xml::events::Event;
use std::fmt::Write as _;
use std::sync::OnceLock;
use std::time::Instant;
use steadyfall::numeric::Rng;
use steadyfall::track::gpx::read;
use steadyfall::walk::plan_of_walks;

#[global_allocator]
static MEMORY: AllocProfiler = AllocProfiler::system();

fn main() {
    ratios();
    divan::main();
}

/// What the bars are about, said first: processor time, in turn, the fastest of five.
fn ratios() {
    // Asked for one bench only, that one is meant.
    if std::env::args().skip(1).any(|a| !a.starts_with('-')) {
        return;
    }
    println!("points     tokenizer   read        stationed   ratio");
    for points in SIZES {
        let seconds = |run: &dyn Fn() -> usize| {
            // The system counts in milliseconds: a short run is taken often.
            let times = SIZES[2] / points;
            let began = processor_s();
            for _ in 0..times {
                black_box(run());
            }
            (processor_s() - began) / times as f64
        };
        let mut fastest = [f64::INFINITY; 3];
        for _ in 0..5 {
            let read_only = || {
                read(black_box(bytes(points)), "walk.gpx")
                    .unwrap()
                    .points_read
            };
            let runs: [&dyn Fn() -> usize; 3] =
                [&|| tokenize(points), &read_only, &|| stationed(points)];
            for (fastest, run) in fastest.iter_mut().zip(runs) {
                *fastest = fastest.min(seconds(run));
            }
        }
        let [bare, read, ours] = fastest;
        println!(
            "{points:>9} {:>8.1} ms {:>8.1} ms {:>8.1} ms {:>6.2}",
            1e3 * bare,
            1e3 * read,
            1e3 * ours,
            ours / bare
        );
    }
}

/// Time that this thread had a processor, s; where the system does not tell, the clock: what else the machine does then counts.
fn processor_s() -> f64 {
    static BEGAN: OnceLock<Instant> = OnceLock::new();
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let nanoseconds = told.and_then(|t| t.split_whitespace().next()?.parse::<f64>().ok());
    nanoseconds.map_or_else(
        || BEGAN.get_or_init(Instant::now).elapsed().as_secs_f64(),
        |ns| 1e-9 * ns,
    )
}

fn tokenize(points: usize) -> usize {
    let text = std::str::from_utf8(bytes(points)).unwrap();
    let mut reader = Reader::from_str(black_box(text));
    let mut events = 0usize;
    loop {
        match reader.read_event().unwrap() {
            Event::Eof => break,
            _ => events += 1,
        }
    }
    events
}

fn stationed(points: usize) -> usize {
    let reading = read(black_box(bytes(points)), "walk.gpx").unwrap();
    plan_of_walks(&[reading]).unwrap().blocks
}

const SIZES: [usize; 3] = [10_000, 100_000, 1_000_000];

/// An invented walk at 1 Hz on a winding line, with a receiver's noise.
fn bytes(points: usize) -> &'static [u8] {
    static MADE: [OnceLock<String>; 3] = [const { OnceLock::new() }; 3];
    let slot = SIZES.iter().position(|&s| s == points).unwrap();
    MADE[slot]
        .get_or_init(|| {
            let mut draws = Rng::new(7);
            let mut text = String::with_capacity(points * 110);
            text.push_str("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"invented\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n<trk><name>walk</name><trkseg>\n");
            let (mut lat, mut lon) = (46.0, 8.0);
            for i in 0..points {
                let heading = 0.6 * (i as f64 / 400.0).sin();
                lat += 7.2e-6 * heading.sin();
                lon += 1.03e-5 * heading.cos();
                let (a, b) = (lat + 2e-6 * draws.normal(), lon + 2e-6 * draws.normal());
                let height = 1500.0 - 1e-4 * i as f64 + 0.2 * draws.normal();
                let (day, second) = (1 + i / 86_400, i % 86_400);
                writeln!(text, "  <trkpt lat=\"{a:.7}\" lon=\"{b:.7}\"><ele>{height:.2}</ele><time>2026-05-{day:02}T{:02}:{:02}:{:02}Z</time></trkpt>", second / 3600, second / 60 % 60, second % 60).unwrap();
            }
            text.push_str("</trkseg></trk></gpx>\n");
            text
        })
        .as_bytes()
}

/// The least that any reader must do: every event, nothing kept.
#[divan::bench(args = SIZES, sample_count = 3)]
fn bare_tokenizer(bencher: Bencher, points: usize) {
    bytes(points);
    bencher
        .counter(ItemsCount::new(points))
        .bench_local(|| tokenize(points));
}

#[divan::bench(args = SIZES, sample_count = 3)]
fn read_only(bencher: Bencher, points: usize) {
    let bytes = bytes(points);
    bencher
        .counter(ItemsCount::new(points))
        .bench_local(|| read(black_box(bytes), "walk.gpx").unwrap().points_read);
}

/// From bytes as they come from the disk to blocks on their stations.
#[divan::bench(args = SIZES, sample_count = 3)]
fn read_cleaned_stationed(bencher: Bencher, points: usize) {
    bytes(points);
    bencher
        .counter(ItemsCount::new(points))
        .bench_local(|| stationed(points));
}

#[divan::bench(args = [10_000, 100_000], sample_count = 3)]
fn another_reader(bencher: Bencher, points: usize) {
    let bytes = bytes(points);
    bencher
        .counter(ItemsCount::new(points))
        .bench_local(|| gpx::read(black_box(bytes)).unwrap().tracks.len());
}
