//! Every command that the README, the guide and the samples name is run as it stands there.

use crate::program::{home, program, room};
use std::fs;
use std::path::Path;

/// A command line of a page: its words, quotes taken off.
type Words = Vec<String>;

fn words(line: &str) -> Words {
    let (mut out, mut word, mut quoted) = (Vec::new(), String::new(), false);
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ' ' if !quoted => out.extend(Some(std::mem::take(&mut word)).filter(|w| !w.is_empty())),
            _ => word.push(c),
        }
    }
    out.extend(Some(word).filter(|w| !w.is_empty()));
    assert!(!quoted, "a quote stays open: {line}");
    out
}

/// The commands of a page: lines of code blocks, and code within sentences, that begin with the program's name.
/// A command with a word in capitals is a pattern (`basis TOPIC`), and `...` stands for words: neither can be run.
fn commands(page: &str) -> Vec<Words> {
    let text = fs::read_to_string(home(page)).unwrap();
    let (mut out, mut fenced) = (Vec::new(), false);
    for line in text.lines() {
        fenced ^= line.starts_with("```");
        let code: Vec<&str> = if fenced || line.starts_with("    ") {
            vec![line.trim()]
        } else {
            line.split('`').skip(1).step_by(2).collect()
        };
        out.extend(
            code.into_iter()
                .filter_map(|c| c.strip_prefix("steadyfall "))
                .map(words)
                .filter(|w| !w.iter().any(|w| w.contains("...") || pattern(w))),
        );
    }
    out
}

fn pattern(word: &str) -> bool {
    word.len() > 2
        && word
            .chars()
            .all(|c| c.is_ascii_uppercase() || ".[]".contains(c))
}

fn copied(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().flatten() {
        let to = to.join(entry.file_name());
        if entry.path().is_dir() {
            copied(&entry.path(), &to);
        } else {
            fs::copy(entry.path(), to).unwrap();
        }
    }
}

/// Runs a page's commands in their order in one scratch folder; a command that writes leaves what the next one reads.
fn run(page: &str, name: &str, least: usize, prepare: impl Fn(&Path)) {
    let dir = room(name);
    copied(&home("sample-surveys"), &dir.join("sample-surveys"));
    prepare(&dir);
    let all = commands(page);
    assert!(all.len() >= least, "{page} names only {all:?}");
    for words in all {
        // What `new` wrote is filled in as the page says: with the sample's figures.
        if words.iter().any(|w| w == "my-site/site.toml") {
            copied(&home("sample-surveys/otter-gill"), &dir.join("my-site"));
        }
        if words.iter().any(|w| w == "my-site/level-book.csv") {
            let sheet = dir.join("my-site/level-book.csv");
            let blank = fs::read_to_string(&sheet).unwrap();
            fs::write(
                sheet,
                format!(
                    "{blank}0,0.5,,,250,A,1,\n20,,2.1,,,,1,\n35,0.8,,3.7,,,2,\n60,,,3.6,244,B,2,\n"
                ),
            )
            .unwrap();
        }
        // A program without the page in it has no such command.
        if cfg!(not(feature = "page")) && words.first().is_some_and(|w| w == "page") {
            continue;
        }
        // What the page keeps is packed here.
        if let Some(name) = words.iter().find(|w| w.ends_with(".zip")) {
            let sample = home("sample-surveys/otter-gill");
            crate::page::packed(&dir.join(name), &sample, &["site.toml", "walk.gpx"]);
        }
        let out = program(&dir).args(&words).output().unwrap();
        assert!(
            out.status.success(),
            "{page}: steadyfall {}\n{}",
            words.join(" "),
            String::from_utf8_lossy(&out.stderr)
        );
        assert!(!out.stdout.is_empty(), "{page}: {words:?} says nothing");
    }
}

#[test]
fn every_command_of_the_guide_runs() {
    run("docs/guide.md", "guide", 9, |_| {});
}

#[test]
fn every_command_of_the_readme_runs() {
    run("README.md", "readme", 5, |dir| {
        let sample = home("sample-surveys/otter-gill");
        fs::copy(sample.join("walk.gpx"), dir.join("walk.gpx")).unwrap();
        fs::copy(sample.join("after-storm.gpx"), dir.join("new-walk.gpx")).unwrap();
    });
}

#[test]
fn every_command_beside_the_samples_and_in_the_other_pages_runs() {
    run(
        "sample-surveys/otter-gill/README.md",
        "beside-otter",
        1,
        |_| {},
    );
    run(
        "sample-surveys/juniper-draw/README.md",
        "beside-juniper",
        1,
        |_| {},
    );
    run(
        "sample-surveys/heron-beck/README.md",
        "beside-heron",
        1,
        |_| {},
    );
    for page in [
        "docs/sheet.md",
        "docs/columns.md",
        "docs/hard-to-break.md",
        "DEVELOPERS.md",
    ] {
        run(page, "pages", 0, |_| {});
    }
}

#[test]
fn a_page_is_read_as_a_reader_reads_it() {
    assert_eq!(words("check \"a b\"  --x"), ["check", "a b", "--x"]);
    assert!(pattern("TOPIC") && pattern("[WORDS]") && !pattern("PE100") && !pattern("SDR11"));
}
