//! Holds the order of the rooms: a room imports only from rooms before it, and only line, study and cli know site; inside a room no circle of files, no room too large, no type name for two things.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "tests stop at the first thing that is not as it should be"
)]

#[path = "house/circles.rs"]
mod circles;
#[path = "house/names.rs"]
mod names;

use std::fs;
use std::path::{Path, PathBuf};

/// The rooms in the order in which data passes through them.
const ROOMS: &[&str] = &[
    "text", "numeric", "unit", "basis", "pipe", "site", "survey", "route", "profile", "line",
    "capacity", "flow", "air", "surge", "strength", "anchor", "laying", "regrade", "study", "size",
    "compare", "finding", "mark", "drawing", "folder", "words", "keys", "views", "export", "json",
    "terminal", "html", "report", "cli",
];

/// Rooms that import from no other room.
const LEAVES: &[&str] = &["text", "numeric", "basis"];

/// The only rooms that may know what the user declared.
const KNOW_SITE: &[&str] = &["line", "study", "cli"];

/// No file longer than this: each one noun.
const LONGEST: usize = 480;

/// No room larger than this, in lines.
const LARGEST: usize = 6_000;

/// Rooms that still are, with the lines they may have at most: the figure may only fall.
const STILL_LARGE: &[(&str, usize)] = &[("route", 11_900), ("survey", 10_600)];

/// What goes round because the thing itself does: a packed file holds files that are read.
const NESTED: &[&str] = &[
    "survey/packed -> survey/read",
    "survey/read -> survey/packed",
];

fn files(dir: &Path, out: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(dir).unwrap().flatten() {
        let path = entry.path();
        if path.is_dir() {
            files(&path, out);
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push(path);
        }
    }
}

fn sources() -> Vec<(PathBuf, String)> {
    let mut paths = Vec::new();
    files(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("src"),
        &mut paths,
    );
    paths.sort();
    paths
        .into_iter()
        .map(|p| (p.clone(), fs::read_to_string(p).unwrap()))
        .collect()
}

fn room_of(path: &Path) -> Option<String> {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let below = path.strip_prefix(src).unwrap();
    (below.components().count() > 1).then(|| {
        below
            .components()
            .next()
            .unwrap()
            .as_os_str()
            .to_string_lossy()
            .into_owned()
    })
}

/// The rooms named behind `crate::` in a file, also inside braces: `use crate::{flow, pipe::Pipe}`.
fn rooms_named(text: &str) -> Vec<(usize, String)> {
    let mut named = Vec::new();
    let code: Vec<&str> = text
        .lines()
        .map(|l| l.split("//").next().unwrap_or(""))
        .collect();
    for (number, line) in code.iter().enumerate() {
        for (at, _) in line.match_indices("crate::") {
            let rest = &line[at + "crate::".len()..];
            if let Some(group) = rest.strip_prefix('{') {
                let mut depth = 0usize;
                let mut word = String::new();
                let mut fresh = true;
                let all: String = std::iter::once(group)
                    .chain(code[number + 1..].iter().copied())
                    .take(20)
                    .collect::<Vec<_>>()
                    .join(" ");
                for c in all.chars() {
                    match c {
                        '{' => depth += 1,
                        '}' if depth == 0 => break,
                        '}' => depth -= 1,
                        _ => {}
                    }
                    if depth == 0 && (c.is_alphanumeric() || c == '_') && fresh {
                        word.push(c);
                    } else if depth == 0 && c == ',' {
                        named.push((number + 1, std::mem::take(&mut word)));
                        fresh = true;
                    } else if !c.is_whitespace() {
                        fresh = false;
                    }
                }
                named.push((number + 1, word));
            } else {
                named.push((
                    number + 1,
                    rest.chars()
                        .take_while(|c| c.is_alphanumeric() || *c == '_')
                        .collect(),
                ));
            }
        }
    }
    named
}

#[test]
fn a_room_imports_only_from_rooms_before_it() {
    let order = |room: &str| ROOMS.iter().position(|r| *r == room);
    let mut wrong = Vec::new();
    for (path, text) in sources() {
        let Some(room) = room_of(&path) else { continue };
        let Some(own) = order(&room) else {
            wrong.push(format!(
                "{}: the room {room} is not in the list",
                path.display()
            ));
            continue;
        };
        for (line, named) in rooms_named(&text) {
            let Some(other) = order(&named) else { continue };
            let barred = other > own
                || (named == "site" && room != "site" && !KNOW_SITE.contains(&room.as_str()))
                || (LEAVES.contains(&room.as_str()) && named != room);
            if barred {
                wrong.push(format!("{}:{line}: {room} imports {named}", path.display()));
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "the house is out of order:\n{}",
        wrong.join("\n")
    );
}

#[test]
fn files_stay_short() {
    let long: Vec<String> = sources()
        .into_iter()
        .filter(|(_, t)| t.lines().count() > LONGEST)
        .map(|(p, t)| format!("{}: {} lines", p.display(), t.lines().count()))
        .collect();
    assert!(
        long.is_empty(),
        "more than one noun stands in:\n{}",
        long.join("\n")
    );
}

#[test]
fn rooms_stay_small() {
    let mut lines = std::collections::BTreeMap::<String, usize>::new();
    for (path, text) in sources() {
        if let Some(room) = room_of(&path) {
            *lines.entry(room).or_default() += text.lines().count();
        }
    }
    let large: Vec<String> = lines
        .iter()
        .filter(|(room, lines)| {
            let still = STILL_LARGE.iter().find(|(r, _)| r == room);
            **lines > still.map_or(LARGEST, |(_, most)| *most)
        })
        .map(|(room, lines)| format!("{room}: {lines} lines"))
        .collect();
    assert!(large.is_empty(), "rooms to be split:\n{}", large.join("\n"));
}

#[test]
fn no_file_needs_itself_over_others() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let files: Vec<(Vec<String>, String)> = sources()
        .into_iter()
        .map(|(path, text)| {
            let below = path.strip_prefix(&src).unwrap().with_extension("");
            let mut parts: Vec<String> = below
                .components()
                .map(|c| c.as_os_str().to_string_lossy().into_owned())
                .collect();
            if parts.last().is_some_and(|p| p == "mod" || p == "lib") {
                parts.pop();
            }
            (parts, text)
        })
        .collect();
    let mut found = circles::circles(&files);
    found.retain(|edge| !NESTED.contains(&edge.as_str()));
    assert!(
        found.is_empty(),
        "a type that both need belongs into a file below them:\n{}",
        found.join("\n")
    );
}

#[test]
fn one_type_name_stands_for_one_thing() {
    let files: Vec<(String, String)> = sources()
        .into_iter()
        .map(|(path, text)| (path.display().to_string(), text))
        .collect();
    let (new, gone) = names::doubled(&files);
    assert!(new.is_empty(), "names given twice:\n{}", new.join("\n"));
    assert!(
        gone.is_empty(),
        "no longer given twice, so take them off the list: {gone:?}"
    );
}

#[test]
fn every_room_is_in_the_list_and_stands() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found: Vec<String> = fs::read_dir(src)
        .unwrap()
        .flatten()
        .filter(|e| e.path().is_dir())
        .map(|e| e.file_name().to_string_lossy().into_owned())
        .collect();
    found.sort();
    let mut listed: Vec<String> = ROOMS.iter().map(ToString::to_string).collect();
    listed.sort();
    assert_eq!(found, listed);
}

#[test]
fn the_reader_of_imports_sees_groups() {
    let named: Vec<String> =
        rooms_named("use crate::{flow::{a, b}, pipe::Pipe,\n site};\nlet x = crate::route::Y;")
            .into_iter()
            .map(|(_, n)| n)
            .collect();
    assert_eq!(named, ["flow", "pipe", "site", "route"]);
}
