//! Stations on the pegs: whichever way they count, what is said on them means that place, and what is told is told on them.

use crate::program::room;
use std::fs;
use std::path::{Path, PathBuf};
use steadyfall::line::{self, Line};
use steadyfall::route::{Reckoning, Route};
use steadyfall::site;
use steadyfall::study;

/// A line with a climb at 60 to 100 m below the intake, levelled from the intake down: heights at stations along the slope.
const DOWN: [(f64, f64); 14] = [
    (0.0, 100.0),
    (20.0, 96.0),
    (40.0, 92.0),
    (60.0, 88.0),
    (80.0, 88.9),
    (100.0, 89.5),
    (120.0, 85.0),
    (140.0, 80.0),
    (160.0, 74.0),
    (200.0, 66.0),
    (250.0, 55.0),
    (300.0, 42.0),
    (350.0, 25.0),
    (400.0, 10.0),
];

/// The same book with its pegs counted from the turbine up, 400 to 0.
fn book(up: bool) -> String {
    let rows = DOWN.map(|(s, z)| format!("{},{z}\n", if up { 400.0 - s } else { s }));
    format!("station_m,height_m\n{}", rows.concat())
}

/// A site of that book with more said of it.
fn written(name: &str, up: bool, more: &str) -> PathBuf {
    let dir = room(name);
    fs::write(dir.join("book.csv"), book(up)).unwrap();
    let survey =
        "[survey]\nfiles = [\"book.csv\"]\nfrom = \"intake\"\ntaped = \"slope\"\nof = \"ground\"\n";
    let turbine = "[turbine]\njets = 2\nnozzle_diameter = \"9 mm\"\n";
    fs::write(
        dir.join("site.toml"),
        format!("format = 1\n{survey}{turbine}{more}"),
    )
    .unwrap();
    dir
}

const PIPE: &str = "[[pipe]]\nspec = \"PE100 SDR11 90\"\n";

fn on_line(dir: &Path) -> Result<(Route, Line), Vec<String>> {
    let told = |faults: Vec<steadyfall::text::Fault>| {
        let first = |f: &steadyfall::text::Fault| {
            let text = f.to_string();
            text.lines().next().unwrap_or_default().to_owned()
        };
        faults.iter().map(first).collect::<Vec<_>>()
    };
    let site = site::read_file(&dir.join("site.toml")).map_err(told)?;
    let route = study::read_route(&site).map_err(|f| told(vec![f]))?;
    let line = line::build(&site, &route).map_err(told)?;
    Ok((route, line))
}

fn line_of(name: &str, up: bool, more: &str) -> Line {
    let (_, line) = on_line(&written(name, up, more)).unwrap_or_else(|f| panic!("{f:?}"));
    line
}

fn refused(name: &str, up: bool, more: &str) -> String {
    match on_line(&written(name, up, more)) {
        Ok(_) => panic!("{more} was accepted"),
        Err(faults) => faults.first().cloned().unwrap_or_default(),
    }
}

#[test]
fn a_reach_is_said_down_the_line_or_up_the_pegs_and_means_that_place() {
    let flood = |from: u32, to: u32| {
        format!(
            "{PIPE}[[flood]]\nfrom = \"{from} m\"\nto = \"{to} m\"\nspeed = \"2 m/s\"\ndepth = \"1 m\"\n"
        )
    };
    let at = |name: &str, up: bool, from: u32, to: u32| {
        let line = line_of(name, up, &flood(from, to));
        let flood = &line.floods[0];
        (flood.from_m, flood.to_m)
    };
    // 330 to 250 on pegs that count up the hill is 70 to 150 m below the intake, and said the other way round it is the same
    assert_eq!(at("pegs-330-250", true, 330, 250), (70.0, 150.0));
    assert_eq!(at("pegs-250-330", true, 250, 330), (70.0, 150.0));
    assert_eq!(at("pegs-70-150", true, 70, 150), (250.0, 330.0));
    assert_eq!(at("pegs-down", false, 70, 150), (70.0, 150.0));
    assert!(
        refused("pegs-back", false, &flood(330, 250)).ends_with("this reach ends before it begins")
    );
    let two = format!("{}{}", flood(330, 250), flood(260, 200).replace(PIPE, ""));
    assert!(
        refused("pegs-over", true, &two).ends_with("this [[flood]] overlaps another one"),
        "{}",
        refused("pegs-over-again", true, &two)
    );
}

#[test]
fn pipes_stand_in_order_by_the_sense_of_the_pegs() {
    let pipes = |first: u32, second: &str| {
        format!("{PIPE}to = \"{first} m\"\n[[pipe]]\nspec = \"PE100 SDR17 90\"\n{second}")
    };
    let ends = |name: &str, up: bool, text: &str| {
        let line = line_of(name, up, text);
        line.reaches
            .iter()
            .map(|r| (r.from_m, r.to_m))
            .collect::<Vec<_>>()
    };
    let third = "to = \"100 m\"\n[[pipe]]\nspec = \"PE100 SDR11 90\"\n";
    assert_eq!(
        ends("pipes-up", true, &pipes(300, third)),
        [(0.0, 100.0), (100.0, 300.0), (300.0, 400.0)]
    );
    assert_eq!(
        ends("pipes-down", false, &pipes(300, "from = \"300 m\"\n")),
        [(0.0, 300.0), (300.0, 400.0)]
    );
    for (name, up, first, second, said) in [
        (
            "pipes-back",
            false,
            300,
            third,
            "this pipe ends before it begins: pipes overlap or stand out of order",
        ),
        (
            "pipes-up-back",
            true,
            100,
            "to = \"300 m\"\n",
            "this pipe ends before it begins: pipes overlap or stand out of order",
        ),
        (
            "pipes-over",
            false,
            300,
            "from = \"250 m\"\n",
            "this pipe overlaps the one above it",
        ),
        (
            "pipes-up-over",
            true,
            300,
            "from = \"350 m\"\n",
            "this pipe overlaps the one above it",
        ),
        (
            "pipes-gap",
            false,
            300,
            "from = \"350 m\"\n",
            "a gap stands above this pipe",
        ),
        (
            "pipes-short",
            false,
            100,
            "to = \"300 m\"\n",
            "the last pipe ends above the end of the line",
        ),
        (
            "pipes-joint",
            false,
            300,
            "joints_at = [\"350 m\", \"200 m\"]\n",
            "a joint lies above the beginning of its pipe",
        ),
        (
            "pipes-joint-up",
            true,
            300,
            "joints_at = [\"50 m\", \"320 m\"]\n",
            "a joint lies above the beginning of its pipe",
        ),
        (
            "pipes-joint-twice",
            true,
            300,
            "joints_at = [\"50 m\", \"50 m\"]\n",
            "this joint is named twice",
        ),
    ] {
        let fault = refused(name, up, &pipes(first, second));
        assert!(fault.ends_with(said), "{name}: {fault}");
    }
    let gap = refused("pipes-first", false, &format!("{PIPE}from = \"40 m\"\n"));
    assert!(gap.ends_with("a gap stands above this pipe"), "{gap}");
}

#[test]
fn both_reckonings_meet_at_every_point() {
    for (name, up) in [("meet-up", true), ("meet-down", false)] {
        let (route, _) = on_line(&written(name, up, PIPE)).unwrap();
        let pegs = Reckoning::of(&route);
        assert!(pegs.has_pegs());
        assert_eq!(pegs.counts_up(), up);
        for (node, (s, _)) in route.nodes.iter().zip(DOWN) {
            assert!((node.station_m - s).abs() < 1e-9);
            let peg = if up { 400.0 - s } else { s };
            assert!((node.on_pegs.0 - peg).abs() < 1e-9);
        }
    }
}
