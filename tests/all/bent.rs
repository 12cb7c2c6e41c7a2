//! Fuzzing in small: plain functions over the committed corpus and over files bent from it. tests/fuzz runs the same ones for hours.

mod bend;
mod corpus;
mod folder;
mod readers;
mod targets;

use crate::program::home;
use bend::{Chance, bend};
use std::panic::{AssertUnwindSafe, catch_unwind};
use targets::{TARGETS, Target};

pub use readers::fit_sum;

/// The longest a bent file may get, bytes.
const LONGEST: usize = 40_000;

/// Runs a target on a file and names the file where a promise is broken.
fn holds((name, target): Target, what: &str, file: &[u8]) {
    if catch_unwind(AssertUnwindSafe(|| target(file))).is_err() {
        panic!(
            "{name}: {what} breaks it:\n{}",
            String::from_utf8_lossy(file)
        );
    }
}

/// `STEADYFALL_BENT` says how many files are bent instead, for a longer run.
fn bent(name: &str, times: u64) {
    let asked = std::env::var("STEADYFALL_BENT").ok();
    let times = asked.and_then(|n| n.parse().ok()).unwrap_or(times);
    let target = TARGETS.into_iter().find(|t| t.0 == name).unwrap();
    let files = corpus::files(&home("tests"), name);
    assert!(!files.is_empty(), "{name} has no corpus");
    for (file, bytes) in &files {
        holds(target, file, bytes);
    }
    for seed in 0..times {
        let mut chance = Chance::new(seed);
        let (name, bytes) = chance.of(&files).unwrap();
        let (mut file, other) = (bytes.clone(), chance.of(&files).unwrap());
        bend(&mut file, &other.1, LONGEST, &mut chance);
        holds(target, &format!("{name} bent by {seed}"), &file);
    }
}

#[test]
fn quantities() {
    bent("unit", 4_000);
}

#[test]
fn words_of_options() {
    bent("words", 400);
}

#[test]
fn sheets() {
    bent("sheet", 2_000);
}

#[test]
fn site_files() {
    bent("site", 200);
}

#[test]
fn field_books() {
    bent("book", 1_000);
}

#[test]
fn walks() {
    bent("gpx", 1_000);
}

#[test]
fn walks_of_other_kinds() {
    for name in ["kml", "tcx", "fit", "nmea", "geojson", "logger"] {
        bent(name, 400);
    }
}

#[test]
fn packed_files_and_workbooks() {
    bent("packed", 400);
    bent("spreadsheet", 400);
}

#[test]
fn whole_folders() {
    bent("folder", 25);
}

#[test]
fn the_corpus_stays_small() {
    let size: usize = TARGETS
        .iter()
        .flat_map(|(name, _)| corpus::files(&home("tests"), name))
        .map(|f| f.1.len())
        .sum();
    assert!(size < 300_000, "{size} bytes");
}

/// The targets do find what they look for: each is shown something it must not let by.
#[test]
fn the_targets_are_not_blind() {
    let blind = |work: &dyn Fn()| catch_unwind(AssertUnwindSafe(work)).is_ok();
    assert!(!blind(&|| folder::figures(
        &serde_json::json!({"a": [1.0, -0.0]}),
        "$"
    )));
    assert!(!blind(&|| folder::figures(&serde_json::json!(null), "$")));
    assert!(!blind(&|| folder::numbers("x", "a NaN m", "site")));
    assert!(!blind(&|| folder::numbers("x", "<a y=\"-inf\"/>", "site")));
    assert!(blind(&|| folder::numbers("x", "information NaNa", "site")));
    assert!(!blind(&|| folder::closes("x", "<a><b></a>")));
}
