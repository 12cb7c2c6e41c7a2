//! The program as a user runs it: what it prints, writes and returns.

use assert_cmd::Command;
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};

/// An empty folder of a test's own.
pub fn room(name: &str) -> PathBuf {
    let dir = std::env::temp_dir().join(format!("steadyfall-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&dir);
    fs::create_dir_all(&dir).unwrap();
    dir
}

/// A file of the repository.
pub fn home(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// The program, standing in a folder.
pub fn program(folder: &Path) -> Command {
    let mut command = Command::cargo_bin("steadyfall").unwrap();
    command.current_dir(folder).env("NO_COLOR", "1");
    command
}

fn json(out: &[u8]) -> Value {
    serde_json::from_slice(out).unwrap()
}

fn fits_the_schema(result: &Value) {
    let mut wrong = crate::schema::faults(result);
    crate::schema::ill_figures(result, "$", &mut wrong);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn demo_needs_no_files_and_names_one_to_open() {
    let dir = room("demo");
    let out = program(&dir).arg("demo").assert().success();
    let text = String::from_utf8(out.get_output().stdout.clone()).unwrap();
    assert!(
        text.lines()
            .last()
            .unwrap()
            .starts_with("Open steadyfall-demo"),
        "{text}"
    );
    for name in [
        "result.json",
        "profile.svg",
        "plan.svg",
        "report.html",
        "stations.csv",
        "marks.gpx",
        "marks.geojson",
        "marks.kml",
        "profile.dxf",
        "plan.dxf",
        "shopping.csv",
    ] {
        assert!(dir.join("steadyfall-demo").join(name).is_file(), "{name}");
    }
    let result = json(&fs::read(dir.join("steadyfall-demo/result.json")).unwrap());
    fits_the_schema(&result);
}

/// The sheets in one workbook: a page each, no clock inside.
#[test]
fn a_workbook_holds_the_sheets_and_is_the_same_twice() {
    let dir = room("workbook");
    let mut books = Vec::new();
    for out in ["a", "b"] {
        program(&dir)
            .args(["demo", "--workbook", "--quiet", "--out", out])
            .assert()
            .success();
        books.push(fs::read(dir.join(out).join("workbook.xlsx")).unwrap());
    }
    assert_eq!(books[0], books[1]);
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(&books[0])).unwrap();
    let mut names = String::new();
    let mut part = archive.by_name("xl/workbook.xml").unwrap();
    std::io::Read::read_to_string(&mut part, &mut names).unwrap();
    for sheet in ["stations", "shopping"] {
        assert!(names.contains(&format!("name=\"{sheet}\"")), "{names}");
    }
}

#[test]
fn json_prints_the_result_and_nothing_else_and_writes_no_folder() {
    let dir = room("json");
    fs::copy(
        home("sample-surveys/juniper-draw/level-book.csv"),
        dir.join("level-book.csv"),
    )
    .unwrap();
    fs::copy(
        home("sample-surveys/juniper-draw/site.toml"),
        dir.join("site.toml"),
    )
    .unwrap();
    let out = program(&dir)
        .args(["check", "site.toml", "--json"])
        .assert()
        .success();
    fits_the_schema(&json(&out.get_output().stdout));
    assert_eq!(fs::read_dir(&dir).unwrap().count(), 2);
    let survey = program(&dir)
        .args(["survey", "level-book.csv", "--taped", "slope", "--json"])
        .assert()
        .success();
    fits_the_schema(&json(&survey.get_output().stdout));
}

#[test]
fn the_same_input_gives_the_same_bytes_from_another_folder_and_locale() {
    let run = |name: &str, locale: &str| {
        let dir = room(name);
        fs::copy(
            home("sample-surveys/juniper-draw/level-book.csv"),
            dir.join("level-book.csv"),
        )
        .unwrap();
        fs::copy(
            home("sample-surveys/juniper-draw/site.toml"),
            dir.join("site.toml"),
        )
        .unwrap();
        program(&dir)
            .env("LC_ALL", locale)
            .env("TZ", "Pacific/Chatham")
            .args(["check", "site.toml", "--quiet"])
            .assert()
            .success();
        let mut files: Vec<_> = fs::read_dir(dir.join("site-results"))
            .unwrap()
            .flatten()
            .map(|e| e.path())
            .collect();
        files.sort();
        files
            .into_iter()
            .map(|p| (p.file_name().unwrap().to_owned(), fs::read(&p).unwrap()))
            .collect::<Vec<_>>()
    };
    assert!(run("bytes-a", "C") == run("bytes-b", "de_DE.UTF-8"));
}

#[test]
fn status_2_names_file_line_and_column_and_writes_nothing() {
    let dir = room("wrong");
    fs::write(
        dir.join("site.toml"),
        "format = 1\n[survey]\nfiles = [\"walk.gpx\"]\n[intake]\nwater_level = 0.6\n",
    )
    .unwrap();
    let out = program(&dir).args(["check", "site.toml"]).assert().code(2);
    let err = String::from_utf8(out.get_output().stderr.clone()).unwrap();
    assert!(err.starts_with("site.toml:5:15: "), "{err}");
    assert!(err.contains("expected:") && err.contains("do:"), "{err}");
    assert!(out.get_output().stdout.is_empty());
    assert_eq!(fs::read_dir(&dir).unwrap().count(), 1);
}

#[test]
fn status_3_when_a_finding_stands_and_is_asked_about() {
    let dir = room("failing");
    let site = home("sample-surveys/juniper-draw/site.toml");
    let site = site.to_str().unwrap();
    let out = dir.join("out");
    let out = out.to_str().unwrap();
    program(&dir)
        .args(["check", site, "--out", out, "--quiet", "--fail-on", "fix"])
        .assert()
        .code(3);
    program(&dir)
        .args(["check", site, "--out", out, "--quiet", "--fail-on", "stop"])
        .assert()
        .success();
    program(&dir)
        .args([
            "check",
            site,
            "--out",
            out,
            "--quiet",
            "--fail-on",
            "sometimes",
        ])
        .assert()
        .code(2);
}

#[test]
fn options_make_a_site_file_that_gives_the_same_result() {
    let dir = room("options");
    fs::copy(
        home("sample-surveys/otter-gill/walk.gpx"),
        dir.join("walk.gpx"),
    )
    .unwrap();
    program(&dir)
        .args([
            "check",
            "walk.gpx",
            "--pipe",
            "PE100 SDR11 110",
            "--jets",
            "4 x 9 mm",
            "--water-level",
            "0.6 m",
            "--quiet",
        ])
        .assert()
        .success();
    let made = dir.join("walk-results");
    let first = json(&fs::read(made.join("result.json")).unwrap());
    let again = program(&made)
        .args(["check", "site.toml", "--json"])
        .assert()
        .success();
    let mut again = json(&again.get_output().stdout);
    // Only the path that the remarks name the walk by differs.
    again["survey"]["remarks"] = first["survey"]["remarks"].clone();
    assert!(first == again);
}

#[test]
fn new_writes_what_check_can_be_begun_with_and_never_over_a_file() {
    let dir = room("new");
    program(&dir).args(["new", "site"]).assert().success();
    assert!(dir.join("site/site.toml").is_file() && dir.join("site/level-book.csv").is_file());
    let before = fs::read(dir.join("site/site.toml")).unwrap();
    program(&dir).args(["new", "site"]).assert().code(2);
    assert_eq!(before, fs::read(dir.join("site/site.toml")).unwrap());
}

#[test]
fn pipes_and_basis_answer() {
    let dir = room("words");
    let out = program(&dir)
        .args(["pipes", "PE100", "SDR11", "110"])
        .assert()
        .success();
    assert!(
        String::from_utf8_lossy(&out.get_output().stdout).contains("1 rows")
            || String::from_utf8_lossy(&out.get_output().stdout).contains("1 row")
    );
    let out = program(&dir).args(["basis", "surge"]).assert().success();
    assert!(String::from_utf8_lossy(&out.get_output().stdout).contains("## Source"));
    let out = program(&dir).args(["basis", "surgge"]).assert().code(2);
    assert!(String::from_utf8_lossy(&out.get_output().stderr).contains("did you mean surge?"));
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    use std::process::{Command, Stdio};
    let dir = room("pipe");
    let mut child = Command::new(assert_cmd::cargo::cargo_bin("steadyfall"))
        .current_dir(&dir)
        .args(["pipes"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let out = child.wait_with_output().unwrap();
    assert!(out.status.success() && out.stderr.is_empty(), "{out:?}");
}

/// The folder of the metric sample compared with its walk after the storm.
pub fn storm_folder(name: &str) -> PathBuf {
    let dir = room(name);
    let out = dir.join("out");
    let site = home("sample-surveys/otter-gill/site.toml");
    let after = home("sample-surveys/otter-gill/after-storm.gpx");
    program(&dir)
        .arg("compare")
        .arg(site)
        .arg("--after")
        .arg(after)
        .arg("--out")
        .arg(&out)
        .arg("--quiet")
        .assert()
        .success();
    out
}

#[test]
fn compare_holds_a_later_walk_against_the_site() {
    let out = storm_folder("compare");
    let result = json(&fs::read(out.join("result.json")).unwrap());
    fits_the_schema(&result);
    let moved: Vec<&Value> = result["moved"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|m| m["verdict"] == "moved")
        .collect();
    let over = |m: &&Value, a: f64, b: f64| {
        m["from_station_m"].as_f64().unwrap() < b && m["to_station_m"].as_f64().unwrap() > a
    };
    // The generator slid 492 to 568 m aside and raised 234 to 266 m; nothing else moved. The slide stands out from two walks;
    // the hump is seen as a climb that was not there.
    assert!(moved.iter().any(|m| over(m, 492.0, 568.0)), "{moved:?}");
    let climbs = result["climbs"].as_array().unwrap();
    assert!(
        climbs.iter().any(|c| {
            let low = c["low_station_m"].as_f64().unwrap();
            (225.0..262.0).contains(&low)
        }),
        "{climbs:?}"
    );
    assert!(
        moved
            .iter()
            .all(|m| over(m, 485.0, 575.0) || over(m, 228.0, 272.0)),
        "{moved:?}"
    );
    assert!(result["before"]["route"]["length_m"].is_number());
}

/// Lines without the sequences that a terminal takes for paint.
fn unpainted(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('\u{1b}') {
        out.push_str(before);
        rest = after.split_once('m').map_or("", |(_, r)| r);
    }
    out + rest
}

#[test]
fn the_text_keeps_to_its_width_and_colour_is_asked_for() {
    let dir = room("look");
    // Beside the work, so that no line of the text is as long as the path to this checkout.
    for file in fs::read_dir(home("sample-surveys/juniper-draw")).unwrap() {
        let file = file.unwrap().path();
        fs::copy(&file, dir.join(file.file_name().unwrap())).unwrap();
    }
    let run = |columns: &str, force: bool| {
        let mut command = program(&dir);
        command
            .args(["check", "site.toml", "--out", "out"])
            .env("COLUMNS", columns);
        if force {
            command.env_remove("NO_COLOR").env("CLICOLOR_FORCE", "1");
        }
        let out = command.assert().success();
        // Nobody watches: no line of progress.
        assert!(out.get_output().stderr.is_empty());
        String::from_utf8(out.get_output().stdout.clone()).unwrap()
    };
    let narrow = run("60", false);
    assert!(!narrow.contains('\u{1b}'));
    for line in narrow.lines().filter(|l| !l.starts_with("Open ")) {
        assert!(line.chars().count() <= 60, "{line}");
    }
    let wide = run("110", false);
    assert!(
        wide.lines().any(|l| l.chars().count() > 96)
            && wide.lines().count() < narrow.lines().count()
    );
    assert!(run("oops", false).lines().all(|l| l.chars().count() <= 96));
    // Painted, the words are the same; the files know of no paint.
    let painted = run("60", true);
    assert!(painted.contains('\u{1b}'));
    assert_eq!(unpainted(&painted), narrow);
    for entry in fs::read_dir(dir.join("out")).unwrap() {
        let bytes = fs::read(entry.unwrap().path()).unwrap();
        assert!(!bytes.contains(&0x1b));
    }
}
