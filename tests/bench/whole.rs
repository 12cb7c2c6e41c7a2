//! The whole check, as a process and room by room, on the two samples: what docs/speed.md holds against its bars.
#![allow(
    clippy::unwrap_used,
    missing_docs,
    reason = "a bench stops at the first thing that is not as it should be"
)]

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use steadyfall::export;

use divan::{Bencher, black_box};
use steadyfall::drawing::{self, PaperSize};
use steadyfall::json;
use steadyfall::line::{self, Line};
use steadyfall::report::account::Report;
use steadyfall::route::Route;
use steadyfall::site::{self, Site};
use steadyfall::study::{Study, read_route};
use steadyfall::surge::{self, Allowed};
use steadyfall::view::{plan as plan_view, section};
use steadyfall::{flow, strength};

fn main() {
    divan::main();
}

const SAMPLES: [&str; 2] = ["otter-gill", "juniper-draw"];

fn folder(sample: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("sample-surveys")
        .join(sample)
}

fn program() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_steadyfall"));
    command.stdout(Stdio::null()).stderr(Stdio::null());
    command
}

/// The metric sample is three walks (bar 400 ms), the other a level book (bar 150 ms).
#[divan::bench(args = SAMPLES, sample_count = 10)]
fn check(bencher: Bencher<'_, '_>, sample: &str) {
    let file = folder(sample).join("site.toml");
    bencher.bench(|| {
        program()
            .arg("check")
            .arg(&file)
            .arg("--json")
            .status()
            .unwrap()
    });
}

#[divan::bench(sample_count = 50)]
fn help(bencher: Bencher<'_, '_>) {
    bencher.bench(|| program().arg("--help").status().unwrap());
}

/// What starting any program costs here.
#[divan::bench(sample_count = 50)]
fn nothing(bencher: Bencher<'_, '_>) {
    bencher.bench(|| Command::new("/bin/true").status().unwrap());
}

fn site(sample: &str) -> Site {
    let file = folder(sample).join("site.toml");
    let text = std::fs::read_to_string(&file).unwrap();
    site::read_text(&file.display().to_string(), &text).unwrap()
}

fn routed(sample: &str) -> (Site, Route, Line) {
    let site = site(sample);
    let route = read_route(&site).unwrap();
    let line = line::build(&site, &route).unwrap();
    (site, route, line)
}

/// Files read, cleaned, heights with their doubt (bar 250 ms for the walks).
#[divan::bench(args = SAMPLES, sample_count = 10)]
fn survey(bencher: Bencher<'_, '_>, sample: &str) {
    let site = site(sample);
    bencher.bench(|| read_route(black_box(&site)).unwrap());
}

/// Every movement marched, every shortest time searched (bar 80 ms).
#[divan::bench(args = SAMPLES, sample_count = 20)]
fn surges(bencher: Bencher<'_, '_>, sample: &str) {
    let (_, _, line) = routed(sample);
    let runs = flow::cases(&line).runs;
    let limits = strength::limits(&line);
    let options = surge::SurgeOptions {
        allowed: Some(Allowed {
            routine_pa: limits.routine_pa,
            rare_pa: limits.rare_pa,
            least_pa: limits.least_pa,
        }),
        ..surge::SurgeOptions::default()
    };
    bencher.bench(|| surge::study(black_box(&line), &runs, &options));
}

/// All rooms from the line on, twice: as declared and as advised.
#[divan::bench(args = SAMPLES, sample_count = 10)]
fn study(bencher: Bencher<'_, '_>, sample: &str) {
    let (_, route, line) = routed(sample);
    bencher
        .with_inputs(|| (route.clone(), line.clone()))
        .bench_values(|(route, line)| Study::of(route, line));
}

/// Findings, drawings, page and every other file of the folder, in memory (bar 10 ms for the drawing).
#[divan::bench(args = SAMPLES, sample_count = 10)]
fn sheets(bencher: Bencher<'_, '_>, sample: &str) {
    let (site, route, line) = routed(sample);
    let units = site.units.unwrap_or(steadyfall::unit::Units::Metric);
    bencher
        .with_inputs(|| Study::of(route.clone(), line.clone()))
        .bench_values(|study| {
            let account = Report::of(study, units);
            let sheets = export::sheets(&account).unwrap();
            (sheets.len(), json::of_check(&account).is_object())
        });
}

/// Section and plan laid out on paper and written as SVG (bar 10 ms).
#[divan::bench(args = SAMPLES, sample_count = 20)]
fn drawn(bencher: Bencher<'_, '_>, sample: &str) {
    let (site, route, line) = routed(sample);
    let units = site.units.unwrap_or_default();
    let account = Report::of(Study::of(route, line), units);
    let paper = PaperSize::usual(units);
    bencher.bench(|| {
        let account = black_box(&account);
        let mut bytes: usize = drawing::profile(&section::of_check(account), paper)
            .iter()
            .map(|p| drawing::svg(&p.sheet).len())
            .sum();
        let plan = plan_view::of_check(account).and_then(|view| drawing::plan(&view, paper));
        bytes += plan.map_or(0, |sheet| drawing::svg(&sheet).len());
        bytes
    });
}
