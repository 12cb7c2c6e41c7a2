//! The words a person calls a pipe by, and whether a row fits them.

use super::{Material, Pipe};
use std::fmt;

/// What a row of the catalogue answers to.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Keys {
    material: Material,
    /// Everything written about the row, in small letters, for words that have no meaning of their own here.
    text: String,
    grade: String,
    standard: String,
    outside_ratio: Option<f64>,
    inside_ratio: Option<f64>,
    schedule: Option<String>,
    series: Option<f64>,
    rating_bar: f64,
    metric_mm: Option<f64>,
    inches: Option<f64>,
    outside_mm: f64,
    /// Nominal size of steel pipe in millimetres: NPS 3 is DN 80.
    nominal_mm: Option<f64>,
    is_ips: bool,
    is_cts: bool,
}

/// Nominal size in millimetres of steel pipe by its size in inches (ASME B36.10M, ISO 6708).
const NOMINAL_MM: [(f64, f64); 14] = [
    (0.5, 15.0),
    (0.75, 20.0),
    (1.0, 25.0),
    (1.25, 32.0),
    (1.5, 40.0),
    (2.0, 50.0),
    (2.5, 65.0),
    (3.0, 80.0),
    (4.0, 100.0),
    (5.0, 125.0),
    (6.0, 150.0),
    (8.0, 200.0),
    (10.0, 250.0),
    (12.0, 300.0),
];

impl Keys {
    pub(super) fn of(pipe: &Pipe) -> Self {
        let lower = |s: &str| s.to_lowercase();
        let series = lower(&pipe.series);
        let after = |head: &str, text: &str| {
            text.find(head).and_then(|at| {
                let rest = text.get(at + head.len()..)?.trim_start();
                let end = rest
                    .find(|c: char| !(c.is_ascii_digit() || c == '.'))
                    .unwrap_or(rest.len());
                rest.get(..end)?.parse::<f64>().ok()
            })
        };
        let inside_ratio = after("sidr", &series);
        let outside_ratio = if inside_ratio.is_some() {
            None
        } else {
            after("dr", &series)
        };
        let size = lower(&pipe.size_label);
        let inches = size_in_inches(&size);
        let is_steel = pipe.material == Material::Steel;
        Self {
            material: pipe.material,
            text: lower(&format!(
                "{} {} {} {} {}",
                pipe.spec, pipe.standard, pipe.grade, pipe.series, pipe.size_label
            )),
            grade: lower(&pipe.grade),
            standard: lower(&pipe.standard),
            outside_ratio,
            inside_ratio,
            schedule: series.strip_prefix("schedule ").map(str::to_owned),
            series: series
                .strip_prefix("series ")
                .or_else(|| series.strip_prefix("s "))
                .and_then(|s| after("", s)),
            rating_bar: pipe.rating_pa.unwrap_or(0.0) / 1e5,
            metric_mm: after("dn/od", &size),
            inches,
            outside_mm: pipe.outer_diameter_m * 1000.0,
            nominal_mm: inches.filter(|_| is_steel).and_then(|n| {
                NOMINAL_MM
                    .iter()
                    .find(|(i, _)| close(*i, n))
                    .map(|(_, mm)| *mm)
            }),
            is_ips: size.contains("ips"),
            is_cts: size.contains("cts"),
        }
    }
}

/// "2-1/2 in IPS", "nps 3/4", "4 in": the number of inches in a size.
pub(super) fn size_in_inches(size: &str) -> Option<f64> {
    if size.contains("dn/od") {
        return None;
    }
    let text = size.trim_start_matches("nps").trim_start();
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || "./-".contains(c)))
        .unwrap_or(text.len());
    mixed(text.get(..end)?)
}

/// "2-1/2", "3/4", "2", "1.5" as a number.
fn mixed(text: &str) -> Option<f64> {
    let (whole, part) = text.split_once('-').unwrap_or(("0", text));
    let part = match part.split_once('/') {
        Some((over, under)) => {
            let (over, under) = (over.parse::<f64>().ok()?, under.parse::<f64>().ok()?);
            if under <= 0.0 {
                return None;
            }
            over / under
        }
        None => part.parse().ok()?,
    };
    let sum = whole.parse::<f64>().ok()? + part;
    (sum.is_finite() && sum > 0.0).then_some(sum)
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-6 * a.abs().max(b.abs())
}

/// One thing that words ask for.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Term {
    /// As it was written.
    written: String,
    asks: Asks,
}

#[derive(Debug, Clone, PartialEq)]
enum Asks {
    Material(Material),
    Grade(String),
    Standard(String),
    OutsideRatio(f64),
    InsideRatio(f64),
    Schedule(String),
    Series(f64),
    RatingBar(f64),
    /// "class 160": psi in one trade, bar in another.
    Class(f64),
    /// A size in millimetres, as on the pipe: its outside.
    Millimetres(f64),
    /// DN: the outside for plastics, the nominal size for steel.
    Nominal(f64),
    /// A size in inches, nominal unless it is written with the outside's three decimals.
    Inches {
        number: f64,
        outside: bool,
    },
    /// A number without a unit: a size of either kind.
    Size(f64),
    Ips,
    Cts,
    Text(String),
}

impl fmt::Display for Term {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.written)
    }
}

impl Term {
    /// Whether a row answers to it.
    pub(super) fn fits(&self, keys: &Keys) -> bool {
        let is = |have: Option<f64>, want: f64| have.is_some_and(|h| close(h, want));
        // A class may be written rounded: 11.03 bar is "160 psi", 12.5 bar "12,5".
        let rated = |bar: f64| keys.rating_bar > 0.0 && (keys.rating_bar / bar - 1.0).abs() < 0.006;
        match &self.asks {
            Asks::Material(m) => keys.material == *m,
            Asks::Grade(g) => keys.grade.replace(' ', "").contains(g.as_str()),
            Asks::Standard(s) => keys.standard.contains(s.as_str()),
            Asks::OutsideRatio(n) => is(keys.outside_ratio, *n),
            Asks::InsideRatio(n) => is(keys.inside_ratio, *n),
            Asks::Schedule(s) => keys.schedule.as_deref() == Some(s.as_str()),
            Asks::Series(n) => is(keys.series, *n),
            Asks::RatingBar(bar) => rated(*bar),
            Asks::Class(n) => rated(*n) || rated(*n * PSI_BAR),
            Asks::Millimetres(n) => {
                is(keys.metric_mm, *n)
                    || (keys.metric_mm.is_none() && (keys.outside_mm - n).abs() <= 0.051)
            }
            Asks::Nominal(n) => is(keys.metric_mm, *n) || is(keys.nominal_mm, *n),
            Asks::Inches { number, outside } => {
                is(keys.inches, *number)
                    || (*outside && (keys.outside_mm - number * 25.4).abs() <= 0.051)
            }
            Asks::Size(n) => is(keys.metric_mm, *n) || is(keys.inches, *n),
            Asks::Ips => keys.is_ips,
            Asks::Cts => keys.is_cts,
            Asks::Text(t) => keys.text.contains(t.as_str()),
        }
    }
}

const PSI_BAR: f64 = crate::unit::exact::PSI_PA / 1e5;

/// A run of letters or a number, and whether it stood close behind the one before.
#[derive(Debug, Clone, PartialEq)]
enum Atom {
    Word(String),
    Number { value: f64, written: String },
}

fn atoms(words: &str) -> Vec<Atom> {
    let text = words
        .to_lowercase()
        .replace(['"', '\u{2033}', '\u{201d}'], " in ")
        .replace("''", " in ")
        .replace('\u{bd}', " 1/2")
        .replace('\u{bc}', " 1/4")
        .replace('\u{be}', " 3/4")
        .replace("dn/od", "dn");
    let mut pieces: Vec<String> = Vec::new();
    let mut last = ' ';
    for c in text.chars() {
        let digit = c.is_ascii_digit();
        let joins = if digit {
            last.is_ascii_digit() || ".,/-".contains(last) && ends_in_number(pieces.last())
        } else if ".,/-".contains(c) {
            last.is_ascii_digit()
        } else {
            c.is_alphabetic() && last.is_alphabetic()
        };
        if joins {
            if let Some(piece) = pieces.last_mut() {
                piece.push(c);
            }
        } else if c.is_alphanumeric() {
            pieces.push(c.to_string());
        }
        last = c;
    }
    let mut out: Vec<Atom> = Vec::new();
    for piece in pieces {
        let trimmed = piece.trim_end_matches(['.', ',', '/', '-']);
        if !trimmed.starts_with(|c: char| c.is_ascii_digit()) {
            out.push(Atom::Word(trimmed.to_owned()));
            continue;
        }
        match mixed(&trimmed.replace(',', ".")) {
            // "2 1/2": a fraction behind a whole number is one size, but not in "DR 7 1/2 in".
            Some(part) if trimmed.contains('/') && part < 1.0 && ends_in_whole_size(&out) => {
                if let Some(Atom::Number { value, written }) = out.last_mut() {
                    *value += part;
                    written.push('-');
                    written.push_str(trimmed);
                }
            }
            Some(value) => out.push(Atom::Number {
                value,
                written: trimmed.to_owned(),
            }),
            None => out.push(Atom::Word(trimmed.to_owned())),
        }
    }
    out
}

/// Whether the last atom is a whole number that no word before it has taken.
fn ends_in_whole_size(atoms: &[Atom]) -> bool {
    let mut back = atoms.iter().rev();
    let whole = matches!(back.next(), Some(Atom::Number { value, .. }) if value.fract() == 0.0 && *value < 20.0);
    whole && !matches!(back.next(), Some(Atom::Word(w)) if TAKES_NUMBER.contains(&w.as_str()))
}

/// Words whose number is not a size.
const TAKES_NUMBER: [&str; 12] = [
    "sdr", "dr", "sidr", "pn", "class", "s", "series", "sch", "sched", "schedule", "pe", "pvc",
];

fn ends_in_number(piece: Option<&String>) -> bool {
    piece.is_some_and(|p| p.starts_with(|c: char| c.is_ascii_digit()))
}

/// Words that only lead up to a number or say nothing that tells rows apart.
const SILENT: [&str; 15] = [
    "iso", "astm", "asme", "ansi", "din", "en", "bs", "is", "pipe", "penstock", "in", "inch", "od",
    "nominal", "the",
];

/// Reads what words ask for.
pub(super) fn read_terms(words: &str) -> Vec<Term> {
    let atoms = atoms(words);
    let mut terms = Vec::new();
    let mut rest = atoms.as_slice();
    while let Some((first, after)) = rest.split_first() {
        let (term, left) = match first {
            Atom::Word(word) => word_term(word, after),
            Atom::Number { value, written } => number_term(*value, written, after),
        };
        terms.extend(term);
        rest = left;
    }
    terms
}

type Read<'a> = (Option<Term>, &'a [Atom]);

fn term(written: impl Into<String>, asks: Asks) -> Option<Term> {
    Some(Term {
        written: written.into(),
        asks,
    })
}

fn word_term<'a>(word: &str, after: &'a [Atom]) -> Read<'a> {
    let number = match after.first() {
        Some(Atom::Number { value, written }) => Some((*value, written.as_str())),
        _ => None,
    };
    let rest = after.get(1..).unwrap_or_default();
    let plain = |asks| (term(word, asks), after);
    match (word, number) {
        ("sdr" | "dr", Some((n, w))) => (term(format!("{word} {w}"), Asks::OutsideRatio(n)), rest),
        ("sidr", Some((n, w))) => (term(format!("sidr {w}"), Asks::InsideRatio(n)), rest),
        ("pn", Some((n, w))) => (term(format!("PN {w}"), Asks::RatingBar(n)), rest),
        ("class", Some((n, w))) => (term(format!("class {w}"), Asks::Class(n)), rest),
        ("dn", Some((n, w))) => (term(format!("DN {w}"), Asks::Nominal(n)), unit_after(rest)),
        ("nps", Some((n, w))) => (
            term(
                format!("NPS {w}"),
                Asks::Inches {
                    number: n,
                    outside: false,
                },
            ),
            unit_after(rest),
        ),
        ("s" | "series", Some((n, w))) => (term(format!("series {w}"), Asks::Series(n)), rest),
        ("sch" | "sched" | "schedule", Some((_, w))) => match rest.first() {
            Some(Atom::Word(s)) if s == "s" => (
                term(format!("schedule {w}s"), Asks::Schedule(format!("{w}s"))),
                rest.get(1..).unwrap_or_default(),
            ),
            _ => (
                term(format!("schedule {w}"), Asks::Schedule(w.to_owned())),
                rest,
            ),
        },
        ("pe" | "hdpe" | "mdpe", Some((n, w)))
            if PE_GRADES.iter().any(|g| close(*g, n)) && !is_measure(rest) =>
        {
            // The older grade numbers of the same resin class.
            let grade = if close(n, 3408.0) { "3608" } else { w };
            (
                term(format!("PE{w}"), Asks::Grade(format!("pe{grade}"))),
                rest,
            )
        }
        ("pvc", Some((n, w))) if close(n, 1120.0) => (
            term(format!("PVC {w}"), Asks::Grade(format!("pvc{w}"))),
            rest,
        ),
        ("d" | "f" | "b", Some((_, w))) => (
            term(format!("{word}{w}"), Asks::Standard(format!("{word}{w}"))),
            match rest.first() {
                Some(Atom::Word(m)) if m == "m" => rest.get(1..).unwrap_or_default(),
                _ => rest,
            },
        ),
        (
            "pe" | "hdpe" | "mdpe" | "ldpe" | "polyethylene" | "poly" | "polypipe" | "polythene",
            _,
        ) => plain(Asks::Material(Material::Pe)),
        // Black polyethylene: the colour says nothing. Black pipe by itself is steel as it was rolled.
        ("black" | "blue", _) if matches!(after.first(), Some(Atom::Word(w)) if PLASTIC.contains(&w.as_str())) => {
            (None, after)
        }
        ("pvc" | "upvc" | "pvcu", _) => {
            let left = match after.first() {
                Some(Atom::Word(u)) if u == "u" => rest,
                _ => after,
            };
            (term(word, Asks::Material(Material::Pvc)), left)
        }
        ("steel", _) => plain(Asks::Material(Material::Steel)),
        ("stainless", _) => plain(Asks::Grade("304l".to_owned())),
        ("carbon" | "black", _) => plain(Asks::Grade("gradeb".to_owned())),
        ("ips", _) => plain(Asks::Ips),
        ("cts", _) => plain(Asks::Cts),
        ("grade", _) => match after.first() {
            Some(Atom::Word(b)) => (
                term(format!("grade {b}"), Asks::Grade(format!("grade{b}"))),
                rest,
            ),
            _ => (None, after),
        },
        (silent, _) if SILENT.contains(&silent) => (None, after),
        _ => plain(Asks::Text(word.to_owned())),
    }
}

/// Words of plastics that a colour may stand before.
const PLASTIC: [&str; 10] = [
    "pe",
    "hdpe",
    "mdpe",
    "ldpe",
    "poly",
    "polypipe",
    "polythene",
    "polyethylene",
    "pvc",
    "upvc",
];

/// Grades of polyethylene by the number behind "PE".
const PE_GRADES: [f64; 6] = [63.0, 80.0, 100.0, 3408.0, 3608.0, 4710.0];

/// Numbers of standards that are written behind ISO, EN, DIN or IS, with their parts and years left off.
const STANDARDS: [&str; 9] = [
    "4427", "12201", "1452", "8062", "4985", "1401", "13476", "21138", "252",
];

/// Whether a unit of pressure or size stands next: "HDPE 100" is a grade, "HDPE 100 psi" is what is stamped.
fn is_measure(rest: &[Atom]) -> bool {
    matches!(rest.first(), Some(Atom::Word(u)) if ["psi", "bar", "kpa", "mpa", "mm"].contains(&u.as_str()))
}

/// A unit that was written behind a number that had its meaning already: "DN 90 mm".
fn unit_after(rest: &[Atom]) -> &[Atom] {
    match rest.split_first() {
        Some((Atom::Word(unit), left)) if ["mm", "in", "inch"].contains(&unit.as_str()) => left,
        _ => rest,
    }
}

fn number_term<'a>(value: f64, written: &str, after: &'a [Atom]) -> Read<'a> {
    let unit = match after.first() {
        Some(Atom::Word(word)) => word.as_str(),
        _ => "",
    };
    let rest = after.get(1..).unwrap_or_default();
    let head = written.split('-').next().unwrap_or(written);
    if STANDARDS.contains(&head) {
        return (term(written, Asks::Standard(head.to_owned())), after);
    }
    if ["304", "316"].contains(&written) {
        let left = if unit == "l" { rest } else { after };
        return (term(written, Asks::Grade(written.to_owned())), left);
    }
    let rating = |bar: f64| {
        (
            term(format!("{written} {unit}"), Asks::RatingBar(bar)),
            rest,
        )
    };
    match unit {
        "mm" => (
            term(format!("{written} mm"), Asks::Millimetres(value)),
            rest,
        ),
        "in" | "inch" | "inches" => {
            let decimals = written.split_once('.').map_or(0, |(_, d)| d.len());
            let asks = Asks::Inches {
                number: value,
                outside: decimals >= 3,
            };
            (term(format!("{written} in"), asks), rest)
        }
        "bar" => rating(value),
        "mpa" => rating(value * 10.0),
        "kpa" => rating(value / 100.0),
        "psi" => rating(value * PSI_BAR),
        _ => (term(written, Asks::Size(value)), after),
    }
}
