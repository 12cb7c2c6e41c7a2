//! Everything that a user can read: printed, written, drawn, asked for as help, told when the input is wrong, or on a page.

use super::literals;
use crate::program::{home, program, room};
use serde_json::Value;
use std::fs;
use std::path::Path;
use steadyfall::unit::Units;
use steadyfall::words::label;

/// A text and where it was met.
#[derive(Debug, Clone)]
pub struct Met {
    pub place: String,
    pub text: String,
    /// From the code and not yet filled in: the parts that are put into it are not known.
    pub raw: bool,
}

/// Pages in words, of those that are for users.
const PAGES: [&str; 7] = [
    "README.md",
    "docs/guide.md",
    "docs/columns.md",
    "docs/sheet.md",
    "sample-surveys/otter-gill/README.md",
    "sample-surveys/juniper-draw/README.md",
    "sample-surveys/heron-beck/README.md",
];

const COMMANDS: [&str; 11] = [
    "demo", "survey", "check", "compare", "size", "log", "pipes", "basis", "new", "shell", "",
];

/// All of it.
pub fn all() -> Vec<Met> {
    let mut out = Vec::new();
    let mut met = |place: &str, text: String| {
        out.push(Met {
            place: place.to_owned(),
            text,
            raw: false,
        });
    };
    for page in PAGES {
        markdown(&read(&home(page)), &mut |text| met(page, text));
    }
    for page in steadyfall::basis::pages() {
        markdown(page.text, &mut |text| met(page.topic, text));
    }
    for sample in ["otter-gill", "juniper-draw"] {
        let path = format!("sample-surveys/{sample}/site.toml");
        comments(&read(&home(&path)), &mut |text| met(&path, text));
    }
    for units in [Units::Metric, Units::Us] {
        comments(&steadyfall::form::blank(units), &mut |text| {
            met("new", text)
        });
    }
    helps(&mut met);
    runs(&mut met);
    for result in crate::rules::results() {
        strings(&result, &mut |text| met("pairs.toml", text));
    }
    sources(&home("src"), &mut |place, text| {
        out.push(Met {
            place,
            text,
            raw: true,
        });
    });
    out
}

fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

fn helps(met: &mut impl FnMut(&str, String)) {
    let dir = room("helps");
    for command in COMMANDS {
        let mut call = program(&dir);
        let call = if command.is_empty() {
            call.arg("--help")
        } else {
            call.args([command, "--help"])
        };
        let out = call.output().unwrap();
        // What belongs together is wrapped: a blank line or an option parts it.
        let text = String::from_utf8(out.stdout).unwrap();
        let mut piece = String::new();
        for line in text.lines().map(str::trim).chain([""]) {
            // A command stands in a column of its own before what it does.
            let apart = line.starts_with(['-', '[']) || line.contains("  ");
            if line.is_empty() || apart {
                met("help", std::mem::take(&mut piece));
            }
            if !line.starts_with('-') {
                piece.push(' ');
                piece.push_str(line);
            }
        }
    }
}

/// Both samples, the survey alone, a storm and the sizes, as they are printed and as the folder holds them.
fn runs(met: &mut impl FnMut(&str, String)) {
    let at = |path: &str| home(path).display().to_string();
    let otter = at("sample-surveys/otter-gill/site.toml");
    let walk = at("sample-surveys/otter-gill/walk.gpx");
    let storm = at("sample-surveys/otter-gill/after-storm.gpx");
    let calls: [&[&str]; 9] = [
        &["check", &otter],
        &["check", &otter, "--units", "us"],
        &["demo", "--sample", "us"],
        &["demo", "--sample", "works"],
        &["survey", &walk],
        &["compare", &otter, "--after", &storm],
        &["size", &otter],
        &["pipes", "PE100", "SDR11"],
        &["basis"],
    ];
    for (i, call) in calls.iter().enumerate() {
        let dir = room(&format!("wording-{i}"));
        let place = call[0];
        let mut command = program(&dir);
        command.args(*call);
        if i < 6 {
            command.args(["--out", "out"]);
        }
        let out = command.output().unwrap();
        assert!(out.status.success(), "{call:?}: {out:?}");
        for line in String::from_utf8(out.stdout).unwrap().lines() {
            // Columns stand apart by blanks.
            line.split("  ")
                .filter(|part| !topic(part.trim()))
                .for_each(|part| met(place, part.to_owned()));
        }
        let Ok(folder) = fs::read_dir(dir.join("out")) else {
            continue;
        };
        for file in folder.flatten().map(|f| f.path()) {
            let name = file.file_name().unwrap().to_string_lossy().into_owned();
            let place = format!("{place} {name}");
            match file.extension().and_then(|e| e.to_str()) {
                Some("html") => markup(&read(&file), &mut |text| met(&place, text)),
                Some("svg") => markup(&read(&file), &mut |text| met(&place, text)),
                Some("json") => {
                    let value = serde_json::from_str(&read(&file)).unwrap();
                    strings(&value, &mut |text| met(&place, text));
                }
                _ => {}
            }
        }
    }
}

/// Texts of a result with more than three words: the others are kinds, names and units, which other programs read.
fn strings(value: &Value, met: &mut impl FnMut(String)) {
    match value {
        Value::String(s) if s.split_whitespace().count() > 3 && !fixed(s) => met(s.clone()),
        Value::Array(all) => all.iter().for_each(|v| strings(v, met)),
        Value::Object(all) => all.values().for_each(|v| strings(v, met)),
        _ => {}
    }
}

/// A page of the basis as it is asked for: the name of a command's argument.
fn topic(part: &str) -> bool {
    steadyfall::basis::pages().any(|p| p.topic == part)
}

/// A word of the results that stays as it is, for a person reads its label instead.
fn fixed(word: &str) -> bool {
    label(word.to_owned().leak()) != word
}

/// What is seen of a page or a drawing, a block at a time.
fn markup(page: &str, met: &mut impl FnMut(String)) {
    const INLINE: [&str; 10] = [
        "a", "b", "i", "em", "strong", "code", "small", "sup", "sub", "tspan",
    ];
    let (mut piece, mut hidden) = (String::new(), false);
    for part in page.split('<') {
        let (tag, words) = part.split_once('>').unwrap_or(("", part));
        let name: String = tag
            .trim_start_matches('/')
            .chars()
            .take_while(char::is_ascii_alphanumeric)
            .collect();
        // What is set as code are formulas and symbols.
        if matches!(name.as_str(), "script" | "style" | "pre") {
            hidden = !tag.starts_with('/');
        }
        if hidden {
            continue;
        }
        match name.as_str() {
            "code" => piece.push('`'),
            _ if !INLINE.contains(&name.as_str()) => met(plain(&std::mem::take(&mut piece))),
            _ => {}
        }
        piece.push_str(words);
    }
    met(plain(&piece));
}

fn plain(text: &str) -> String {
    let marks = [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&#39;", "'"),
        ("&nbsp;", " "),
        ("&amp;", "&"),
    ];
    let text = marks
        .iter()
        .fold(text.to_owned(), |text, (from, to)| text.replace(from, to));
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Paragraphs, cells, headings and points of a page; what is code is not words.
fn markdown(page: &str, met: &mut impl FnMut(String)) {
    let (mut fenced, mut piece) = (false, String::new());
    for line in page.lines().chain([""]) {
        let words = line.trim();
        if words.starts_with("```") {
            fenced = !fenced;
            continue;
        }
        if fenced || line.starts_with("    ") {
            continue;
        }
        let apart =
            words.is_empty() || words.starts_with(['#', '|', '-', '*', '!']) || numbered(words);
        if apart {
            met(std::mem::take(&mut piece));
        }
        if words.starts_with('|') {
            words
                .split('|')
                .for_each(|cell| met(cell.trim().to_owned()));
        } else {
            piece.push(' ');
            piece.push_str(words.trim_start_matches(['#', '-', ' ']));
        }
    }
}

fn numbered(words: &str) -> bool {
    words
        .split_once(". ")
        .is_some_and(|(n, _)| n.chars().all(|c| c.is_ascii_digit()))
}

/// What is said beside the keys of a site file.
fn comments(text: &str, met: &mut impl FnMut(String)) {
    for line in text.lines() {
        if let Some((key, words)) = line.split_once('#') {
            // A key that is commented out has its own comment behind it.
            let words = words.split_once('#').map_or(words, |(_, words)| words);
            if key.trim().is_empty() && words.contains(" = ") {
                continue;
            }
            met(words.trim().to_owned());
        }
    }
}

fn sources(folder: &Path, met: &mut impl FnMut(String, String)) {
    let mut all: Vec<_> = fs::read_dir(folder).unwrap().flatten().collect();
    all.sort_by_key(fs::DirEntry::path);
    for path in all.into_iter().map(|f| f.path()) {
        let place = path.strip_prefix(home("")).unwrap().display().to_string();
        if path.is_dir() {
            sources(&path, met);
        } else if path.extension().is_some_and(|e| e == "ts") {
            for text in literals::script(&read(&path)) {
                met(place.clone(), text);
            }
        } else if path.extension().is_some_and(|e| e == "rs") {
            if place.ends_with("tests.rs") {
                continue;
            }
            for text in literals::of(&read(&path)).into_iter().filter(|t| !fixed(t)) {
                // Markup stands in the code of the page.
                let mut seen = |text: String| met(place.clone(), text);
                if text.contains("</") || text.contains("/>") || text.contains('>') {
                    markup(&text, &mut seen);
                } else {
                    seen(text);
                }
            }
        }
    }
}
