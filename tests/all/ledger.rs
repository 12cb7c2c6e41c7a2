//! The ledger of outside checks.
//!
//! tests/checks/*.csv hold typed rows, one answer a row: `id, topic, quantity, inputs, expected, tolerance_abs, tolerance_rel, unit, source, how`.
//! `inputs` are `name=value` pairs parted by `;`. `expected` is a number, or a word such as `refused`.
//! `how` is READ, COMPUTED, FORMULA FROM MEMORY (worked out anew, by a formula or figure that was not read), SECONDARY or MEMORY. Every row is either checked or stands in tests/checks/excused.csv (`id, reason`).
//! The same run prints docs/verification.md; set STEADYFALL_WRITE=1 to write it anew.

mod book;

use book::{Book, Seen};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// What a checker found.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// A number in the row's unit.
    Number(f64),
    /// A word: a verdict, or `refused`.
    Word(String),
}

impl From<f64> for Answer {
    fn from(value: f64) -> Self {
        Self::Number(value)
    }
}

impl From<&str> for Answer {
    fn from(word: &str) -> Self {
        Self::Word(word.to_owned())
    }
}

/// Computes one quantity from a row's inputs.
pub struct Checker {
    /// The row's `quantity`.
    pub quantity: &'static str,
    /// The part of the project that is checked, as printed in the book: "flow::friction::colebrook_white".
    pub of: &'static str,
    /// The work; an error says why it could not be done and fails the test.
    pub work: fn(&Inputs) -> Result<Answer, String>,
}

/// The inputs of a row.
#[derive(Debug, Clone, Default)]
pub struct Inputs(BTreeMap<String, String>);

impl Inputs {
    fn read(text: &str) -> Self {
        Self(
            text.split(';')
                .filter_map(|pair| pair.split_once('='))
                .map(|(k, v)| (k.trim().to_owned(), v.trim().to_owned()))
                .collect(),
        )
    }

    /// A number that must be there.
    pub fn number(&self, name: &str) -> Result<f64, String> {
        let text = self.word(name)?;
        text.parse()
            .map_err(|_| format!("input {name} is no number: {text}"))
    }

    /// A number, or a default where the row is silent.
    pub fn number_or(&self, name: &str, default: f64) -> Result<f64, String> {
        if self.0.contains_key(name) {
            self.number(name)
        } else {
            Ok(default)
        }
    }

    /// A word that must be there.
    pub fn word(&self, name: &str) -> Result<&str, String> {
        self.0
            .get(name)
            .map(String::as_str)
            .ok_or_else(|| format!("input {name} is missing"))
    }

    /// Numbers parted by blanks.
    pub fn numbers(&self, name: &str) -> Result<Vec<f64>, String> {
        self.word(name)?
            .split_whitespace()
            .map(|w| {
                w.parse()
                    .map_err(|_| format!("input {name}: no number: {w}"))
            })
            .collect()
    }
}

/// How a value may be known.
const KNOWN: [&str; 5] = [
    "READ",
    "COMPUTED",
    "FORMULA FROM MEMORY",
    "SECONDARY",
    "MEMORY",
];

struct Row {
    id: String,
    topic: String,
    quantity: String,
    inputs: Inputs,
    expected: String,
    tolerance: f64,
    unit: String,
    source: String,
    how: String,
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/checks")
}

fn tolerance(expected: &str, absolute: &str, relative: &str) -> Result<f64, String> {
    let part = |text: &str, what: &str| {
        if text.trim().is_empty() {
            Ok(0.0)
        } else {
            text.trim()
                .parse::<f64>()
                .map_err(|_| format!("{what} is no number: {text}"))
        }
    };
    let scale = expected.parse::<f64>().map_or(0.0, f64::abs);
    Ok(part(absolute, "tolerance_abs")?.max(part(relative, "tolerance_rel")? * scale))
}

fn rows() -> Result<Vec<Row>, String> {
    let mut paths: Vec<PathBuf> = fs::read_dir(folder())
        .map_err(|e| e.to_string())?
        .flatten()
        .map(|e| e.path())
        .filter(|p| p.extension().is_some_and(|e| e == "csv"))
        .collect();
    paths.sort();
    let mut rows = Vec::new();
    for path in paths
        .iter()
        .filter(|p| p.file_name().is_some_and(|n| n != "excused.csv"))
    {
        let mut reader =
            csv::Reader::from_path(path).map_err(|e| format!("{}: {e}", path.display()))?;
        let heads = reader.headers().map_err(|e| e.to_string())?.clone();
        if heads.iter().collect::<Vec<_>>()
            != [
                "id",
                "topic",
                "quantity",
                "inputs",
                "expected",
                "tolerance_abs",
                "tolerance_rel",
                "unit",
                "source",
                "how",
            ]
        {
            return Err(format!(
                "{}: the heads are not the ledger's",
                path.display()
            ));
        }
        for record in reader.records() {
            let record = record.map_err(|e| format!("{}: {e}", path.display()))?;
            let cell = |i: usize| record.get(i).unwrap_or("").trim().to_owned();
            let expected = cell(4);
            let tolerance = tolerance(&expected, &cell(5), &cell(6))
                .map_err(|e| format!("{}: {}: {e}", path.display(), cell(0)))?;
            rows.push(Row {
                id: cell(0),
                topic: cell(1),
                quantity: cell(2),
                inputs: Inputs::read(&cell(3)),
                expected,
                tolerance,
                unit: cell(7),
                source: cell(8),
                how: cell(9),
            });
        }
    }
    Ok(rows)
}

fn excused() -> BTreeMap<String, String> {
    let Ok(mut reader) = csv::Reader::from_path(folder().join("excused.csv")) else {
        return BTreeMap::new();
    };
    reader
        .records()
        .map(|r| r.unwrap())
        .map(|r| (r[0].to_owned(), r[1].to_owned()))
        .collect()
}

/// One row's outcome: what was computed beside what was expected, or what is wrong with it.
fn judge(row: &Row, checkers: &BTreeMap<&str, Checker>) -> Result<Seen, String> {
    let checker = checkers
        .get(row.quantity.as_str())
        .ok_or_else(|| format!("nothing computes \"{}\"", row.quantity))?;
    match ((checker.work)(&row.inputs)?, row.expected.parse::<f64>()) {
        (Answer::Number(got), Ok(want))
            if !got.is_finite() || (got - want).abs() > row.tolerance =>
        {
            Err(format!(
                "{got} for {want} +- {} {}",
                row.tolerance, row.unit
            ))
        }
        (Answer::Number(got), Ok(want)) => Ok(Seen::Number {
            got,
            want,
            tolerance: row.tolerance,
        }),
        (Answer::Word(got), Err(_)) if got == row.expected => Ok(Seen::Word),
        (got, _) => Err(format!("{got:?} for {}", row.expected)),
    }
}

#[test]
fn every_row_is_checked_or_excused() {
    let rows = rows().unwrap();
    let excused = excused();
    let checkers: BTreeMap<&str, Checker> = crate::checks::all()
        .into_iter()
        .map(|c| (c.quantity, c))
        .collect();
    let mut wrong = Vec::new();
    let mut seen = BTreeSet::new();
    let mut book = Book::default();
    for row in &rows {
        if !seen.insert(row.id.clone()) {
            wrong.push(format!("{}: the id stands twice", row.id));
        }
        if !KNOWN.contains(&row.how.as_str()) || row.source.is_empty() {
            wrong.push(format!("{}: needs a source and how it is known", row.id));
        }
        if excused.contains_key(&row.id) {
            continue;
        }
        match judge(row, &checkers) {
            Err(what) => wrong.push(format!("{} ({}): {what}", row.id, row.quantity)),
            Ok(seen) => {
                let by = checkers.get(row.quantity.as_str()).map_or("", |c| c.of);
                book.enter(row, by, seen);
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {} rows are off:\n{}",
        wrong.len(),
        rows.len(),
        wrong.join("\n")
    );
    let page = book.page(&excused);
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/verification.md");
    if std::env::var_os("STEADYFALL_WRITE").is_some() {
        fs::write(&path, &page).unwrap();
    }
    let printed = fs::read_to_string(&path).unwrap_or_default();
    assert!(
        printed == page,
        "docs/verification.md is stale: run `STEADYFALL_WRITE=1 cargo test --test all ledger` and commit it"
    );
}
