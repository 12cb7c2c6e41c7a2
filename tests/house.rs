//! Holds the order of the rooms: a room imports only from rooms before it, and only line, study and cli know site; that no files of a room need each other in a circle, and that no type name stands for two things.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "tests stop at the first thing that is not as it should be"
)]

#[path = "house/circles.rs"]
mod circles;
#[path = "house/names.rs"]
mod names;
#[path = "house/narrow.rs"]
mod narrow;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// The rooms in the order in which data passes through them.
const ROOMS: &[&str] = &[
    "text",
    "numeric",
    "unit",
    "basis",
    "pipe",
    "reading",
    "reduction",
    "track",
    "survey",
    "site",
    "form",
    "earth",
    "receiver",
    "heights",
    "walk",
    "route",
    "profile",
    "gauging",
    "line",
    "capacity",
    "flow",
    "gauge_book",
    "solids",
    "air",
    "march",
    "surge",
    "strength",
    "anchor",
    "laying",
    "proof",
    "metal",
    "regrade",
    "study",
    "size",
    "compare",
    "finding",
    "mark",
    "drawing",
    "words",
    "report",
    "view",
    "folder",
    "terminal",
    "json",
    "html",
    "export",
    "cli",
];

/// Rooms that import from no other room.
const LEAVES: &[&str] = &["text", "numeric", "basis"];

/// The only rooms that may know what the user declared.
const KNOW_SITE: &[&str] = &["form", "line", "study", "cli"];

/// Not a room of the library: the page that holds the whole program, in a language of its own.
const PAGE: &str = "page";

/// No file longer than this: each one noun.
const LONGEST: usize = 480;

/// No room larger than this, lines: somebody can know it whole.
const LARGEST: usize = 6_000;

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
    let mut rooms: BTreeMap<String, usize> = BTreeMap::new();
    for (path, text) in sources() {
        if let Some(room) = room_of(&path) {
            *rooms.entry(room).or_default() += text.lines().count();
        }
    }
    let large = |&(_, &lines): &(&String, &usize)| lines > LARGEST;
    let large: Vec<(&String, &usize)> = rooms.iter().filter(large).collect();
    assert!(large.is_empty(), "more than one noun lives in {large:?}");
}

/// A list of wrong lines: a name of its columns in front, a file and the right line that must stand there once.
fn spoilt(list: &str) -> Vec<(String, String)> {
    let home = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = fs::read_to_string(home.join("tests/wrong").join(list)).unwrap();
    let mut rows = text.lines().map(|l| l.split('\t').collect::<Vec<_>>());
    let heads = rows.next().unwrap();
    let column = |name| heads.iter().position(|h| *h == name).unwrap();
    let (file, right) = (column("file"), column("right"));
    rows.map(|r| (r[file].to_owned(), r[right].to_owned()))
        .collect()
}

#[test]
fn what_is_to_be_spoilt_stands_once_in_its_file() {
    for list in ["constants.tsv", "rules.tsv"] {
        let rows = spoilt(list);
        assert!(rows.len() > 20, "{list}");
        for (file, right) in rows {
            let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(&file);
            let text = fs::read_to_string(path).unwrap_or_default();
            let own = text.split("#[cfg(test)]").next().unwrap();
            let times = own.matches(&right).count();
            assert_eq!(times, 1, "{list}: {file}: {right}");
        }
    }
}

/// Every file by the path of its module.
fn modules() -> Vec<(Vec<String>, String)> {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    sources()
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
        .collect()
}

#[test]
fn no_file_needs_itself_over_others() {
    let found = circles::circles(&modules());
    assert!(
        found.is_empty(),
        "what both need belongs into a file below them:\n{}",
        found.join("\n")
    );
}

/// The ways in which a result is told, side by side above the words: each a room, or files of one.
const TOLD: &[(&str, &str, &[&str])] = &[
    ("page", "html", &[]),
    ("brief", "report", &["brief"]),
    ("terminal", "terminal", &[]),
    ("JSON", "json", &[]),
    (
        "sheets",
        "export",
        &["as_built", "laying", "shopping", "stakes", "stations"],
    ),
    ("workbook", "export", &["workbook"]),
    ("places", "export", &["places"]),
    ("DXF", "export", &["dxf"]),
];

#[test]
fn no_way_of_telling_takes_from_another() {
    let of = |path: &[String]| {
        let (room, file) = (path.first()?, path.get(1));
        let way = TOLD.iter().find(|(_, in_room, files)| {
            let named = |f: &String| files.contains(&f.as_str());
            room == in_room && (files.is_empty() || file.is_some_and(named))
        });
        way.map(|(way, ..)| *way)
    };
    let (mut wrong, mut seen) = (Vec::new(), BTreeSet::new());
    for (from, needed) in circles::needs(&modules()) {
        let Some(way) = of(&from) else { continue };
        seen.insert(way);
        let others = needed.iter().filter(|to| of(to).is_some_and(|w| w != way));
        wrong.extend(others.map(|to| format!("{} takes from {}", from.join("/"), to.join("/"))));
    }
    assert_eq!(seen.len(), TOLD.len(), "{seen:?}");
    assert!(
        wrong.is_empty(),
        "what both need belongs into a file below them:\n{}",
        wrong.join("\n")
    );
}

#[test]
fn the_report_is_made_by_templates_that_escape() {
    let is_markup = |line: &&str| {
        let tags = |begin| line.split(begin).skip(1);
        tags("\"<")
            .chain(tags("</"))
            .any(|tag| tag.starts_with(|c: char| c.is_ascii_lowercase()))
    };
    assert!(is_markup(&"format!(\"<p>{text}\")") && is_markup(&"out.push_str(\"{text}</p>\")"));
    let pages = sources();
    let pages = pages
        .iter()
        .filter(|(path, _)| room_of(path).is_some_and(|r| r == "html"));
    for (path, text) in pages {
        let own = text.split("#[cfg(test)]").next().unwrap();
        let wrong: Vec<&str> = own.lines().filter(is_markup).collect();
        assert!(wrong.is_empty(), "{}: {wrong:?}", path.display());
        // One way out of the templates: `finish`, that makes every text harmless.
        let ways = own.matches(".into_string()").count();
        assert_eq!(ways, usize::from(path.ends_with("markup.rs")), "{path:?}");
    }
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
        "not given twice, so no exception: {gone:?}"
    );
}

#[test]
fn who_reads_one_part_of_a_line_takes_that_part() {
    let files: Vec<(String, String)> = sources()
        .into_iter()
        .map(|(path, text)| (path.display().to_string(), text))
        .collect();
    let wide = narrow::found(&files);
    assert!(wide.is_empty(), "take the part:\n{}", wide.join("\n"));
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
    let mut listed: Vec<String> = ROOMS
        .iter()
        .chain([&PAGE])
        .map(ToString::to_string)
        .collect();
    listed.sort();
    assert_eq!(found, listed);
}

fn page_files() -> Vec<(String, String)> {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("src").join(PAGE);
    let mut files: Vec<(String, String)> = fs::read_dir(page)
        .unwrap()
        .flatten()
        .map(|e| {
            let name = e.file_name().to_string_lossy().into_owned();
            (name, fs::read_to_string(e.path()).unwrap())
        })
        .collect();
    files.sort();
    files
}

#[test]
fn the_page_is_what_it_is_built_from_and_no_more() {
    const ENDINGS: &[&str] = &[
        "ts",
        "css",
        "html",
        "js",
        "mjs",
        "sh",
        "json",
        "svg",
        "webmanifest",
    ];
    for (name, text) in page_files() {
        let ending = name.rsplit('.').next().unwrap();
        assert!(ENDINGS.contains(&ending), "{name} does not belong there");
        let lock = name == "package-lock.json";
        assert!(lock || text.lines().count() <= LONGEST, "{name} is long");
        assert!(!text.contains("://") || text.contains("http://www.w3.org/2000/svg"));
    }
}

/// The page asks the program for every word and figure: the two cannot come to differ.
#[test]
fn the_page_says_nothing_that_the_program_knows() {
    let mut known: Vec<String> = Vec::new();
    for key in steadyfall::form::keys() {
        if let steadyfall::site::KeyForm::Words(words) = key.form {
            // A word of one syllable may be anybody's.
            known.extend(
                words
                    .iter()
                    .filter(|w| w.len() > 6)
                    .map(|w| (*w).to_owned()),
            );
        }
        known.extend(key.help.map(str::to_owned));
        let example = key.example.filter(|e| e.contains(' ') && e.len() > 3);
        known.extend(example.map(str::to_owned));
    }
    for pipe in steadyfall::pipe::catalogue() {
        known.extend([&pipe.spec, &pipe.standard, &pipe.grade, &pipe.series].map(Clone::clone));
    }
    known.sort();
    known.dedup();
    // A table may be called as a word is: the page has to name tables.
    let tables: Vec<String> = steadyfall::form::keys()
        .into_iter()
        .map(|k| k.table)
        .collect();
    known.retain(|w| w.len() > 4 && !tables.contains(w));
    for (name, text) in page_files().iter().filter(|f| f.0.ends_with(".ts")) {
        let quoted: std::collections::HashSet<&str> = text.split(['"', '`']).collect();
        let said: Vec<&String> = known
            .iter()
            .filter(|w| quoted.contains(w.as_str()))
            .collect();
        assert!(said.is_empty(), "{name} says {said:?}");
    }
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

/// A missing figure is never taken for nothing, but in these functions, in which nothing said or nothing there is truly 0: file, function, how often, and why.
#[rustfmt::skip]
const ZEROS: &[(&str, &str, usize, &str)] = &[
    ("air/course.rs", "of", 1, "no turbine: no riser"),
    ("air/drains.rs", "drains", 1, "the mouth, above the first low"),
    ("air/residual_pockets.rs", "residual_pockets", 1, "what does not run has no power"),
    ("air/residual_pockets.rs", "settled", 1, "what does not run has no flow"),
    ("air/leg.rs", "sealed_m3", 1, "a leg of no length holds no air"),
    ("anchor/buoyant.rs", "filled", 1, "outside a stream nothing is scoured but what is declared"),
    ("anchor/buoyant.rs", "one", 1, "outside a stream nothing is scoured but what is declared; in one, `filled` says that it is not known"),
    ("anchor/ground.rs", "depth_m", 1, "a place without pipe has no radius above its axis"),
    ("anchor/holds.rs", "holds", 1, "a stretch that heat does not press pushes at no guide"),
    ("capacity/bends.rs", "check", 1, "a pipe that no rule lets be bent cuts no corner"),
    ("cli/field/track.rs", "drawn", 1, "a fix without a height is drawn in plan: the plane may lie at any"),
    ("compare/along.rs", "counts_from_itself", 1, "a survey without points counts from nowhere"),
    ("compare/change.rs", "climbs", 1, "an order: a change that is of no climb comes first; each has one"),
    ("compare/change.rs", "pockets", 1, "a line without pipe holds no air"),
    ("compare/estimate.rs", "curve", 1, "a window without places aside moves nothing aside"),
    ("compare/moved.rs", "reach", 2, "what was not seen aside has not gone aside; with no other reach it is nowhere else"),
    ("compare/off_line.rs", "off_line", 1, "a mark without a position aside lies aside by nothing that is known"),
    ("compare/plan.rs", "solve3", 1, "an index of three by three"),
    ("compare/scan.rs", "weight", 1, "a window without places aside weighs nothing aside"),
    ("compare/search.rs", "bend", 1, "nothing has no middle: the least bend is taken"),
    ("compare/detection_limit.rs", "of", 1, "a window without places aside shows nothing aside"),
    ("compare/urgent_action.rs", "stop", 1, "a pipe of which nothing was known before was not over"),
    ("drawing/profile_table.rs", "placed", 1, "no column has no width"),
    ("drawing/section.rs", "first_m", 1, "nothing in the series has no place and no length"),
    ("drawing/section.rs", "length_m", 1, "nothing in the series has no place and no length"),
    ("drawing/strip_plan.rs", "route", 2, "nothing in the series has no place and no length"),
    ("finding/rules/starting.rs", "decided_on", 1, "where no single leg decides, the whole line does, from its mouth on"),
    ("flow/conduit.rs", "air_above", 1, "above the first standing air, and where nothing flows, air takes no head"),
    ("flow/gauges.rs", "read", 1, "no measured flow has no doubt of its own"),
    ("flow/result.rs", "velocity_m_per_s", 1, "nothing flows where no stretch is"),
    ("gauge_book/cause.rs", "of", 2, "a plant that does not run has no largest flow: what hangs on it asks `runs` first; a line without high points holds no air"),
    ("gauge_book/channel.rs", "mark", 1, "no value has no size"),
    ("gauge_book/fitted.rs", "on", 1, "a size that is not of this channel does nothing to it"),
    ("gauge_book/result.rs", "alike", 1, "no suspect has no rival"),
    ("gauging/bucket.rs", "flow", 1, "one filling has no spread: the hand's doubt and the note stand in its place"),
    ("gauging/float.rs", "flow", 2, "one run, one section have no spread: the least doubt of each stands in its place"),
    ("gauging/sheet.rs", "floats", 1, "no section has no width, which the float's law refuses"),
    ("gauging/sheet.rs", "salted", 1, "a row of a day on which no salt was poured"),
    ("gauging/weir.rs", "flow", 1, "one reading has no spread: the least doubt stands in its place"),
    ("gauging/weir.rs", "of_width", 2, "a weir in a wide, deep pool: the ratios are 0"),
    ("laying/intake.rs", "basin_rows", 1, "a basin for which no room for sand is told is dug for its water alone"),
    ("laying/shopping.rs", "declared_rows", 2, "an order of rows: one without a place comes first"),
    ("laying/shopping_row.rs", "row", 1, "a row without a place is of the pipe at the mouth"),
    ("line/build.rs", "stream", 1, "nothing must stay in the stream"),
    ("line/build.rs", "mouth", 1, "the level at the mouth is assumed and told"),
    ("line/centre.rs", "above_m", 4, "no pipe, not raised, no cover (assumed and told): the surveyed line itself"),
    ("line/machine.rs", "gauges", 1, "a dial on the pipe"),
    ("line/machine.rs", "outlet", 1, "nozzles at the pipe's end"),
    ("line/environment.rs", "situation", 2, "gravity of the sea, the stronger"),
    ("line/plain.rs", "plain", 2, "a line without stations has no length"),
    ("line/whole.rs", "drop_m", 1, "a line without stations does not fall"),
    ("line/whole.rs", "end_elevation_m", 1, "a line without stations stands nowhere"),
    ("line/whole.rs", "length_m", 1, "a line without stations has no length"),
    ("line/whole.rs", "nozzle_elevation_m", 1, "no turbine: the pipe's end"),
    ("line/whole.rs", "with_gauged", 1, "nothing must stay in the stream"),
    ("site/read_works.rs", "pressure_test", 1, "a gauge of which no limit was said is read as it shows"),
    ("numeric/programme.rs", "broken_row", 1, "a row has its bound at its end"),
    ("pipe/modulus.rs", "in_log_time", 1, "a table without rows; ours have some"),
    ("pipe/modulus.rs", "lasting_modulus_pa", 1, "a table without rows; ours have some"),
    ("pipe/words.rs", "of", 1, "no rating matches no word for one"),
    ("profile/judge.rs", "bore_at", 1, "a line without pipe: any climb seals"),
    ("regrade/fall.rs", "least_best", 1, "no point has no least"),
    ("regrade/stake.rs", "stakes", 1, "a line without pipe is staked at its surveyed height"),
    ("regrade/sure.rs", "threshold_m", 1, "a line without pipe climbs wherever it rises"),
    ("report/account.rs", "of", 1, "no stop: nobody goes there"),
    ("export/dxf/section.rs", "of", 2, "a section without stations has letters of the least size"),
    ("view/moved.rs", "plan", 2, "no move to the side: no arrow"),
    ("terminal/size.rs", "cells", 2, "rows that are not marched have no doubt beside them"),
    ("words/flow.rs", "most", 1, "a figure without a doubt beside it"),
    ("route/bend.rs", "grade", 1, "a stretch without length is level"),
    ("route/bend.rs", "of_walk", 1, "nothing in the series has no place and no length"),
    ("route/book/course.rs", "cut_in", 1, "no neighbour: nothing is mixed in"),
    ("route/book/course.rs", "new", 2, "a point without a chainage is placed by its legs; one without a height by its neighbours"),
    ("route/book/course.rs", "order_by_station", 2, "an index of the series"),
    ("route/book/course.rs", "plane_of", 1, "a book without heights lies at its own zero"),
    ("route/book/course.rs", "turn", 1, "nothing in the series has no place and no length"),
    ("route/book/doubt.rs", "plan_sd_m", 1, "nothing in the series has no place and no length"),
    ("route/book/look.rs", "plan_of", 2, "nothing in the series has no place and no length"),
    ("route/book/mod.rs", "booked", 2, "nothing in the series has no place and no length"),
    ("route/book/noise.rs", "rises", 1, "nothing in the series has no place and no length"),
    ("route/book/row.rs", "follow", 1, "nothing in the series has no place and no length"),
    ("route/book/tie.rs", "beside", 2, "an index of the series"),
    ("route/book/tie.rs", "condition", 4, "an index of the series"),
    ("route/book/witness.rs", "of", 1, "an index of the series"),
    ("heights/booked.rs", "booked", 1, "an index of the series"),
    ("heights/chain.rs", "chains", 3, "a block without a clock: its chain asks no time"),
    ("heights/dense.rs", "the_same_as_written_out_densely", 1, "the mean of all draws is asked: none is added"),
    ("heights/drawn.rs", "middles", 1, "nothing has no middle"),
    ("heights/drawn.rs", "sample", 2, "no weight, no share"),
    ("heights/filter.rs", "update", 2, "a known height has no error, and may have no offset"),
    ("heights/posterior.rs", "from_draws", 1, "a line without stations does not fall"),
    ("heights/sample.rs", "middle_of", 1, "the mean of all draws is asked: none is added"),
    ("heights/smoothed.rs", "smoothed", 1, "the mean of all draws is asked: none is added"),
    ("heights/steady.rs", "downweight", 3, "nothing to compare has no size"),
    ("heights/steady.rs", "steady", 2, "a block without a clock: its place rules the order"),
    ("heights/steady.rs", "together", 1, "asked only where the first has a clock, and so all"),
    ("heights/walked.rs", "walked", 3, "nothing in the series has no place and no length"),
    ("heights/worked.rs", "given_strengths_are_exact", 2, "the mean of all draws is asked: none is added"),
    ("heights/worked.rs", "unknown_classes_from_two_starts", 1, "the mean of all draws is asked: none is added"),
    ("route/join/chain.rs", "append", 1, "nothing in the series has no place and no length"),
    ("route/join/chain.rs", "plane_of", 1, "a part without heights lies at its own zero"),
    ("route/join/chain.rs", "to_datum", 1, "nothing known: no shift"),
    ("route/join/piece.rs", "cut", 3, "nothing in the series has no place and no length"),
    ("route/join/piece.rs", "own_ends_m", 1, "nothing in the series has no place and no length"),
    ("route/join/piece.rs", "trim", 1, "nothing in the series has no place and no length"),
    ("route/mod.rs", "length_m", 1, "nothing in the series has no place and no length"),
    ("heights/posterior.rs", "on", 1, "an index of the series"),
    ("walk/along.rs", "new", 1, "the first block has none before it"),
    ("walk/along.rs", "reach_m", 2, "nothing in the series has no place and no length"),
    ("walk/block.rs", "blocks", 1, "the first fix has none before it"),
    ("walk/centre.rs", "centre", 1, "one pass does not wander beside another"),
    ("walk/copied.rs", "follows_the_place", 2, "nothing in the series has no place and no length"),
    ("walk/copied.rs", "reads_the_same_again", 1, "nothing has no middle"),
    ("walk/gather.rs", "plane_for", 1, "no fix: any meridian"),
    ("route/walked/lay.rs", "places", 2, "nothing in the series has no place and no length"),
    ("route/walked/lay.rs", "unrecorded", 2, "nothing in the series has no place and no length"),
    ("walk/leg.rs", "farthest", 1, "an index of the path"),
    ("walk/median.rs", "sampled_residuals", 1, "nothing has no middle"),
    ("route/walked/part.rs", "levelled", 2, "nothing in the series has no place and no length"),
    ("walk/polyline.rs", "length_m", 1, "nothing in the series has no place and no length"),
    ("walk/rough.rs", "drop_m", 2, "nothing in the series has no place and no length"),
    ("walk/rough.rs", "new", 1, "a block without a height says nothing of heights"),
    ("route/walked/finish.rs", "finish", 2, "nothing in the series has no place and no length"),
    ("route/walked/finish.rs", "on_line", 2, "nothing in the series has no place and no length"),
    ("route/walked/witness.rs", "looks", 1, "a look without a neighbour has no time between"),
    ("route/witness.rs", "cut", 1, "an index of the series"),
    ("site/read_run.rs", "case", 1, "a screen of which nothing is said is clean; that is told"),
    ("size/family.rs", "families", 1, "a class without a rating stands first"),
    ("size/family.rs", "zones", 2, "a class without a rating, or too warm for one, takes nothing"),
    ("strength/bedded.rs", "deflects", 1, "no wheel presses"),
    ("strength/bedded.rs", "one", 1, "a trench as deep as the pipe, where no cover is declared: that it is not known is told"),
    ("strength/zones.rs", "classes_of", 2, "an order of rows: one without a rating comes first"),
    ("study/booked.rs", "options", 1, "gravity of the sea"),
    ("study/relaid.rs", "asked_of", 1, "a class without a rating is none"),
    ("study/states.rs", "held", 1, "nothing runs"),
    ("surge/closed_form_comparison.rs", "closed_forms", 1, "an index of the tubes"),
    ("march/pipe_series.rs", "steady_heads_m", 1, "a chain without tubes has no flow"),
    ("march/grid.rs", "score", 1, "a grid without reaches has no length in time"),
    ("march/moc.rs", "new", 2, "a chain without tubes has no end"),
    ("march/node_grid.rs", "new", 2, "rows without nodes are filled with none"),
    ("march/quiet.rs", "at", 1, "an index of the nodes"),
    ("march/place.rs", "head", 1, "an index of the nodes"),
    ("march/transient.rs", "node", 1, "an index of the nodes"),
    ("surge/moves.rs", "pace", 1, "a valve stands on pipe"),
    ("surge/nodes.rs", "cut", 1, "an index of the nodes"),
    ("surge/nodes.rs", "of", 1, "a chain without tubes begins nowhere"),
    ("surge/nodes.rs", "place_branches", 1, "a grid of one node has no cell"),
    ("surge/nodes.rs", "place_losses", 1, "a grid of one node has no cell"),
    ("surge/search.rs", "staged", 1, "no shape is better than none"),
    ("surge/study.rs", "by_reach", 1, "a chain without tubes carries no wave"),
    ("surge/study.rs", "lowest_at_s", 1, "what was not watched is lowest at once"),
    ("reduction/angle/leg.rs", "sighted", 1, "no index error is told: none is taken off"),
    ("reduction/angle/string.rs", "cut_at_turn", 1, "a string without points begins nowhere"),
    ("survey/angle_sheet.rs", "row", 1, "stadia without an angle are read on a level sight"),
    ("survey/angle_sheet.rs", "told", 1, "no index error is told: none is taken off"),
    ("reduction/condition.rs", "condition", 1, "an index of the readings"),
    ("reduction/condition.rs", "pick", 2, "a height that is held against no other stands by itself"),
    ("survey/hose.rs", "read", 1, "the dial lies on the pipe unless its height is booked"),
    ("reduction/level/close.rs", "by_least_squares", 1, "an index of the sights"),
    ("reduction/level/close.rs", "check_booked", 1, "no height is booked: none is held against ours"),
    ("reduction/level/close.rs", "close", 2, "the one tie is there, and known"),
    ("reduction/level/close.rs", "looks_adjusted", 1, "nothing was booked twice"),
    ("reduction/level/close.rs", "round", 1, "a book without points begins nowhere"),
    ("reduction/level/doubt.rs", "chain_doubt", 1, "a point outside every section takes no share of a misclosure"),
    ("reduction/level/reduce.rs", "back", 1, "an index of the points"),
    ("survey/level_sheet.rs", "read", 1, "an index of the points"),
    ("survey/level_sheet.rs", "residuals", 1, "no residual is the largest of none"),
    ("survey/level_sheet.rs", "told", 1, "a book without points begins nowhere"),
    ("reduction/net.rs", "adjust", 3, "no height is known: the net stands on its first point"),
    ("reduction/net.rs", "covariance_m2", 1, "a known height has no doubt"),
    ("reduction/net.rs", "factors_m", 1, "a known height has no doubt"),
    ("track/pressure/lay.rs", "outside", 2, "a log without rows covers no time"),
    ("track/pressure/log.rs", "middle", 1, "nothing has no middle"),
    ("survey/share.rs", "split", 2, "no point on the line: no length"),
    ("reading/tape.rs", "corrected_m", 2, "warmth and pull are not told: nothing is taken off"),
    ("track/nmea.rs", "settle", 1, "a log without a date counts from midnight"),
];

#[test]
fn the_impossible_is_no_zero() {
    let patterns = ["unwrap_or(0.0)", "map_or(0.0,", "|| 0.0,", "|| 0.0)"];
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found: Vec<(String, String, usize)> = Vec::new();
    for (path, text) in sources() {
        let file = path
            .strip_prefix(&src)
            .unwrap()
            .to_string_lossy()
            .replace('\\', "/");
        let mut function = String::new();
        for line in text.lines().take_while(|l| l.trim() != "#[cfg(test)]") {
            let code = line.split("//").next().unwrap();
            if let Some((before, after)) = code.split_once("fn ")
                && (before.trim().is_empty() || before.trim_end().ends_with(['b', ')', 't']))
            {
                function = after
                    .chars()
                    .take_while(|c| c.is_alphanumeric() || *c == '_')
                    .collect();
            }
            let hits = patterns.iter().filter(|p| code.contains(*p)).count();
            if hits > 0 {
                match found.iter_mut().find(|f| f.0 == file && f.1 == function) {
                    Some(had) => had.2 += 1,
                    None => found.push((file.clone(), function.clone(), 1)),
                }
            }
        }
    }
    let mut allowed: Vec<(String, String, usize)> = ZEROS
        .iter()
        .map(|(file, function, count, _)| ((*file).to_owned(), (*function).to_owned(), *count))
        .collect();
    found.sort();
    allowed.sort();
    assert!(
        found == allowed,
        "a figure that is missing is taken for 0, or a line of ZEROS is stale:\n{:?}\nfor\n{:?}",
        found
            .iter()
            .filter(|f| !allowed.contains(f))
            .collect::<Vec<_>>(),
        allowed
            .iter()
            .filter(|f| !found.contains(f))
            .collect::<Vec<_>>()
    );
}
