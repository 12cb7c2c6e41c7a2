//! The examples of the library do what they say, and the short road writes the program's own bytes.

#[path = "../examples/judge_a_site.rs"]
mod judge_a_site;
#[path = "../examples/judge_a_walk.rs"]
mod judge_a_walk;
#[path = "../examples/pick_a_pipe.rs"]
mod pick_a_pipe;
#[path = "../examples/steady_state.rs"]
mod steady_state;
#[path = "../examples/water_hammer.rs"]
mod water_hammer;

use crate::program::{home, program, room};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use steadyfall::flow::WhyNot;
use steadyfall::prelude::check;

fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let one = |e: fs::DirEntry| {
        (
            e.file_name().into_string().unwrap(),
            fs::read(e.path()).unwrap(),
        )
    };
    fs::read_dir(folder).unwrap().flatten().map(one).collect()
}

#[test]
fn a_site_is_judged_and_written_as_the_program_does() {
    let dir = room("examples-site");
    let site = home("sample-surveys/juniper-draw/site.toml");
    let report = judge_a_site::judge(&site, Some(&dir.join("by-library"))).unwrap();
    assert!(!report.findings.is_empty());
    let site = site.to_str().unwrap();
    let out = program(&dir)
        .args(["check", site, "--out", "by-program"])
        .assert();
    out.success();
    let (ours, program) = (
        files(&dir.join("by-library")),
        files(&dir.join("by-program")),
    );
    assert!(ours.len() >= 8 && ours.keys().eq(program.keys()));
    for (name, bytes) in &ours {
        assert!(program[name] == *bytes, "{name} differs");
    }
}

/// The levelled climb that the sample's truth has: tests/all/samples.rs.
#[test]
fn a_level_book_alone_tells_its_climb() {
    let book = home("sample-surveys/juniper-draw/level-book.csv");
    let climbs = judge_a_walk::judge(&book, 0.0736).unwrap().profile.climbs;
    assert_eq!(climbs.len(), 1);
    assert!(climbs[0].probability > 0.99, "{climbs:?}");
    let none = judge_a_walk::judge(&home("no-such-walk.gpx"), 0.0736).unwrap_err();
    assert!(none.to_string().contains("no-such-walk.gpx"), "{none}");
}

/// PE 100 by ISO 4427 carries 10 bar at SDR 17 and 16 bar at SDR 11.
#[test]
fn the_lightest_class_is_the_next_above_the_pressure() {
    let rating = |pa| {
        pick_a_pipe::lightest("PE100 90", pa)
            .unwrap()
            .rating_pa
            .unwrap()
    };
    assert_eq!(rating(9.9e5), 1e6);
    assert_eq!(rating(1.3e6), 1.6e6);
    assert!(pick_a_pipe::lightest("PE100 90", 1e8).is_none());
    let (low, high) = pick_a_pipe::wave("PE100 SDR11 90").unwrap();
    assert!(200.0 < low && low < high && high < 600.0, "{low} {high}");
    assert!(pick_a_pipe::wave("PE100").is_err());
}

/// A nozzle's law: Q = 0.95 A sqrt(2 g h) at the net head, and the net head below the gross.
#[test]
fn a_plain_line_runs_by_the_law_of_its_nozzle() {
    let run = steady_state::running(&steady_state::line(0.016).unwrap()).unwrap();
    let line = steady_state::line(0.016).unwrap();
    let (g, h) = (line.environment.situation.gravity_m_per_s2, run.net_head_m);
    let law = 0.95 * std::f64::consts::FRAC_PI_4 * 0.016 * 0.016 * (2.0 * g * h).sqrt();
    assert!(
        (run.flow_m3_per_s / law - 1.0).abs() < 1e-6,
        "{} {law}",
        run.flow_m3_per_s
    );
    assert!(h > 40.0 && h < 62.0, "{h}");
}

#[test]
fn what_cannot_run_is_an_error_with_its_figures() {
    let mut line = steady_state::line(0.016).unwrap();
    line.outlet.as_mut().unwrap().nozzle_height_m = 70.0;
    let refused = steady_state::running(&line).unwrap_err();
    let why: &steadyfall::flow::NotRun = refused.why().unwrap();
    assert!(
        matches!(why.why, WhyNot::NoHead { gross_head_m } if (gross_head_m + 8.0).abs() < 0.01)
    );
    assert!(
        refused.to_string().contains("below the nozzles"),
        "{refused}"
    );
}

/// Closed faster than a wave runs there and back, 2L/a = 3.2 s, the nozzle feels the whole rise of Joukowsky, a v/g, and at most the head that friction took besides.
#[test]
fn a_nozzle_that_shuts_too_fast_feels_joukowsky() {
    let tube = water_hammer::TUBE;
    let (before_m, end) = water_hammer::close(0.005, 2.0);
    let v = 0.005 / (std::f64::consts::FRAC_PI_4 * tube.bore_m * tube.bore_m);
    let rise_m = tube.wave_speed_m_per_s * v / 9.81;
    assert!(
        end.max_m > before_m + rise_m,
        "{} {before_m} {rise_m}",
        end.max_m
    );
    assert!(end.max_m < water_hammer::LEVEL_M + rise_m);
    let (_, slow) = water_hammer::close(0.005, 9.0);
    assert!(slow.max_m < before_m + rise_m, "{}", slow.max_m);
}

#[test]
fn the_programs_of_the_examples_run() {
    judge_a_site::main().unwrap();
    judge_a_walk::main().unwrap();
    pick_a_pipe::main().unwrap();
    steady_state::main().unwrap();
    water_hammer::main();
}

#[test]
fn the_short_road_tells_every_fault_at_once() {
    let dir = room("examples-faults");
    let site = dir.join("site.toml");
    fs::write(&site, "format = 1\n[survey]\nfiles = [\"walk.gpx\"]\n[water]\ntemprature = 1\n[turbine]\njtes = 4\n").unwrap();
    let faults = check(&site).unwrap_err();
    let told: Box<dyn std::error::Error> = faults.clone().into();
    assert!(faults.len() >= 2, "{told}");
    for key in ["temprature", "jtes"] {
        assert!(told.to_string().contains(key), "{told}");
    }
}
