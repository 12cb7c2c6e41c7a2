//! What the page stands on: faults as JSON, the site file as a form, a zip that `check` reads as it is. The page itself is tested by .ci/page.sh.

use crate::program::{home, program, room};
use serde_json::{Value, json};
use std::fs;
use std::io::{Cursor, Write};
use std::path::Path;

/// A zip of files of a folder.
pub fn packed(zip: &Path, folder: &Path, names: &[&str]) {
    let mut out = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for name in names {
        out.start_file(*name, zip::write::SimpleFileOptions::default())
            .unwrap();
        out.write_all(&fs::read(folder.join(name)).unwrap())
            .unwrap();
    }
    fs::write(zip, out.finish().unwrap().into_inner()).unwrap();
}

fn sample(dir: &Path) {
    let files = ["demo", "--files", "gill"];
    program(dir).args(files).assert().success();
    let own = fs::read(dir.join("gill/site.toml")).unwrap();
    assert_eq!(
        own,
        fs::read(home("sample-surveys/otter-gill/site.toml")).unwrap()
    );
    program(dir).args(files).assert().code(2);
}

fn faults(dir: &Path, args: &[&str]) -> Vec<Value> {
    let out = program(dir)
        .args(args)
        .args(["--faults", "json"])
        .assert()
        .code(2);
    serde_json::from_slice(&out.get_output().stderr).unwrap()
}

fn printed(dir: &Path, args: &[&str]) -> Value {
    let out = program(dir).args(args).assert().success();
    serde_json::from_slice(&out.get_output().stdout).unwrap()
}

#[test]
fn a_fault_is_told_to_other_programs() {
    let dir = room("faults");
    let site = "format = 1\n[survey]\nfiles = [\"walk.gpx\"]\n[[pipe]]\nspec = \"PE100 SDR11 90\"\njoint = \"fussed\"\n";
    fs::write(dir.join("site.toml"), site).unwrap();
    let told = faults(&dir, &["check", "site.toml"]);
    assert_eq!(told.len(), 1);
    assert_eq!(
        told[0]["place"],
        json!({"file": "site.toml", "line": 6, "column": 9, "key": "pipe.joint"})
    );
    assert_eq!(told[0]["found"], "fussed");
    assert!(told[0]["do"].as_str().unwrap().contains("fused"));
    let choices = told[0]["choices"].as_array().unwrap();
    assert!(choices.contains(&json!("electrofusion")));
    let several = "format = 1\n[survey]\nfiles = [\"walk.gpx\"]\n[[pipe]]\nspec = \"PE100 90\"\n";
    fs::write(dir.join("site.toml"), several).unwrap();
    fs::copy(
        home("sample-surveys/otter-gill/walk.gpx"),
        dir.join("walk.gpx"),
    )
    .unwrap();
    let told = faults(&dir, &["check", "site.toml"]);
    for spec in told[0]["choices"].as_array().unwrap() {
        steadyfall::pipe::find(spec.as_str().unwrap()).unwrap();
    }
    // A call that cannot be understood, too.
    let told = faults(&dir, &["check", "site.toml", "--papre", "a4"]);
    assert!(told[0]["text"].as_str().unwrap().contains("--papre"));
}

#[test]
fn what_would_settle_a_fault_is_named() {
    let dir = room("asks");
    let book = "station_m,bs_m,is_m,fs_m,elevation_m\n0,1.0,,,100\n20,1.0,,4.5,\n40,1.0,,4.5,\n60,,,4.5,\n";
    fs::write(dir.join("book.csv"), book).unwrap();
    let told = faults(&dir, &["survey", "book.csv"]);
    assert_eq!(told[0]["asks"], "survey.taped");
    let key = |k: &steadyfall::site::Key| format!("{}.{}", k.table, k.key) == "survey.taped";
    assert!(steadyfall::form::keys().iter().any(key));
    program(&dir)
        .args(["survey", "book.csv", "--taped", "slope"])
        .assert()
        .success();
}

#[test]
fn a_form_is_made_and_changes_what_it_says() {
    let dir = room("fields");
    sample(&dir);
    let known = printed(&dir, &["fields"]);
    let tables = known["tables"].as_array().unwrap();
    let keys: usize = tables
        .iter()
        .map(|t| t["keys"].as_array().unwrap().len())
        .sum();
    assert_eq!(keys, steadyfall::form::keys().len());
    let changes = json!([
        {"table": "turbine", "index": 0, "key": "nozzle_diameter", "value": "8 mm"},
        {"table": "mark", "add": true},
        {"table": "mark", "index": 2, "key": "kind", "value": "vent"},
        {"table": "mark", "index": 2, "key": "at", "value": "212 m"},
        {"table": "gauge", "index": 0, "remove": true},
    ]);
    fs::write(dir.join("changes.json"), changes.to_string()).unwrap();
    let said = printed(
        &dir,
        &["fields", "gill/site.toml", "--changes", "changes.json"],
    );
    let site = steadyfall::site::read_text("", said["text"].as_str().unwrap()).unwrap();
    assert_eq!((site.marks.len(), site.gauges.len()), (3, 0));
    let told = said["tables"].as_array().unwrap();
    let turbine = told.iter().find(|t| t["table"] == "turbine").unwrap();
    let nozzle = turbine["keys"].as_array().unwrap();
    assert!(
        nozzle
            .iter()
            .any(|k| k["key"] == "nozzle_diameter" && k["value"] == "8 mm")
    );
    fs::write(dir.join("changes.json"), "[{\"table\": 3}]").unwrap();
    let told = faults(
        &dir,
        &["fields", "gill/site.toml", "--changes", "changes.json"],
    );
    assert!(told[0]["text"].as_str().unwrap().contains("changes"));
}

#[test]
fn a_zip_is_judged_as_the_folder_it_holds() {
    let dir = room("zip");
    sample(&dir);
    program(&dir.join("gill"))
        .args(["check", "site.toml", "--quiet"])
        .assert()
        .success();
    let zip = dir.join("gill.zip");
    let held = ["site.toml", "walk.gpx", "site-results/result.json"];
    packed(&zip, &dir.join("gill"), &held);
    program(&dir)
        .args(["check", "gill.zip", "--quiet"])
        .assert()
        .success();
    let mut files = 0;
    for entry in fs::read_dir(dir.join("gill/site-results"))
        .unwrap()
        .flatten()
    {
        let other = dir.join("gill-results").join(entry.file_name());
        assert_eq!(
            fs::read(entry.path()).unwrap(),
            fs::read(other).unwrap(),
            "{}",
            entry.file_name().display()
        );
        files += 1;
    }
    assert!(files > 8);
    packed(&zip, &dir.join("gill"), &["site.toml"]);
    let told = faults(&dir, &["check", "gill.zip"]);
    assert_eq!(told[0]["place"]["file"], "gill.zip/site.toml");
    assert_eq!(told[0]["place"]["key"], "survey.files");
    fs::write(dir.join("gill.zip"), "no zip").unwrap();
    assert_eq!(
        faults(&dir, &["check", "gill.zip"])[0]["place"]["file"],
        "gill.zip"
    );
}

#[cfg(feature = "page")]
#[test]
fn the_page_is_written_and_nothing_else_is_overwritten() {
    let dir = room("page");
    program(&dir).arg("page").assert().success();
    let page = fs::read_to_string(dir.join("steadyfall.html")).unwrap();
    assert_eq!(
        page,
        fs::read_to_string(home("docs/page/index.html")).unwrap()
    );
    assert!(page.starts_with("<!DOCTYPE html>") && page.contains("default-src 'none'"));
    program(&dir).arg("page").assert().success();
    fs::write(dir.join("mine.html"), "<p>mine").unwrap();
    program(&dir).args(["page", "mine.html"]).assert().code(2);
    assert_eq!(
        fs::read_to_string(dir.join("mine.html")).unwrap(),
        "<p>mine"
    );
}
