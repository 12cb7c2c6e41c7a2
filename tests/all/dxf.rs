//! The texts of the drawings for who draws on: none over another, in both samples and where forty marks stand at one place.

use super::program::{home, program, room};
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

/// A text: its words and the corners of its box, as widely as common fonts write it.
struct Written {
    words: String,
    low: [f64; 2],
    high: [f64; 2],
}

/// The texts of a drawing: pairs of lines, a code and its value.
fn texts(path: &Path) -> Vec<Written> {
    /// Width of a letter over its height, what hangs below the line and what stands over a capital.
    const WIDTH: f64 = 0.95;
    const BELOW: f64 = 0.3;
    const ABOVE: f64 = 0.02;
    let text = fs::read_to_string(path).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    let pairs: Vec<(&str, &str)> = lines.chunks(2).map(|p| (p[0].trim(), p[1])).collect();
    let mut out = Vec::new();
    for part in pairs
        .split(|p| p.0 == "0")
        .zip(std::iter::once("").chain(pairs.iter().filter(|p| p.0 == "0").map(|p| p.1)))
    {
        let (pairs, "TEXT") = part else { continue };
        let value = |code: &str| pairs.iter().find(|p| p.0 == code).unwrap().1;
        let figure = |code: &str| value(code).parse::<f64>().unwrap();
        let (x, y, height) = (figure("10"), figure("20"), figure("40"));
        let mut words = value("1").replace("%%d", "\u{b0}").replace("%%p", "\u{b1}");
        while let Some(at) = words.find("\\U+") {
            words.replace_range(at..at + 7, "?");
        }
        let long = WIDTH * words.chars().count() as f64 * height;
        let (low, high) = match figure("50") {
            0.0 => (
                [x, y - BELOW * height],
                [x + long, y + (1.0 + ABOVE) * height],
            ),
            90.0 => (
                [x - (1.0 + ABOVE) * height, y],
                [x + BELOW * height, y + long],
            ),
            turn => panic!("turned by {turn}"),
        };
        out.push(Written { words, low, high });
    }
    out
}

fn overlaps(texts: &[Written]) -> Vec<String> {
    let mut out = Vec::new();
    for (i, a) in texts.iter().enumerate() {
        for b in texts.iter().skip(i + 1) {
            if (0..2).all(|k| a.low[k] < b.high[k] && b.low[k] < a.high[k]) {
                out.push(format!("{:?} and {:?}", a.words, b.words));
            }
        }
    }
    out
}

#[test]
fn no_text_of_a_drawing_stands_over_another() {
    let dir = room("dxf");
    for sample in ["metric", "us"] {
        program(&dir)
            .args(["demo", "--quiet", "--sample", sample, "--out", sample])
            .assert()
            .success();
    }
    let line = home("sample-surveys/otter-gill");
    let mut site = fs::read_to_string(line.join("site.toml")).unwrap();
    for i in 0..40 {
        let at = 300.0 + 0.1 * f64::from(i);
        write!(
            site,
            "\n[[mark]]\nkind = \"support\"\nat = \"{at} m\"\nstate = \"planned\"\n"
        )
        .unwrap();
    }
    for entry in fs::read_dir(&line).unwrap().flatten() {
        fs::copy(entry.path(), dir.join(entry.file_name())).unwrap();
    }
    fs::write(dir.join("site.toml"), site).unwrap();
    program(&dir)
        .args(["check", "site.toml", "--quiet", "--out", "crowded"])
        .assert()
        .success();
    for (name, least) in [
        ("metric/plan.dxf", 20),
        ("metric/profile.dxf", 20),
        ("us/profile.dxf", 15),
        ("crowded/plan.dxf", 21),
        ("crowded/profile.dxf", 21),
    ] {
        let texts = texts(&dir.join(name));
        assert!(texts.len() >= least, "{name}: {} texts", texts.len());
        let over = overlaps(&texts);
        assert!(over.is_empty(), "{name}:\n{}", over.join("\n"));
    }
}
