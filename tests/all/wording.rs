//! Every text that a user can read is in the trade's words and in sentences that can be read at once.

mod gather;
mod literals;

use gather::Met;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::sync::OnceLock;

/// A thing, its word, and the words that this program once had for it.
struct Term {
    word: &'static str,
    others: Vec<&'static str>,
    /// Phrases in which such a word means something else.
    unless: Vec<&'static str>,
}

fn terms() -> Vec<Term> {
    let list = |cell: &'static str| cell.split('|').filter(|w| !w.is_empty()).collect();
    let mut rows = include_str!("wording/terms.csv").lines();
    assert_eq!(rows.next(), Some("term,instead of,unless"));
    let cells = |row: &'static str| -> Vec<&'static str> { row.split(',').collect() };
    rows.map(cells)
        .map(|c| Term {
            word: c[0],
            others: list(c[1]),
            unless: list(c[2]),
        })
        .collect()
}

/// A sentence that was met, its figures blotted out so that one sentence counts once.
struct Sentence {
    text: String,
    place: String,
    words: usize,
    raw: bool,
}

fn collection() -> &'static [Sentence] {
    static ALL: OnceLock<Vec<Sentence>> = OnceLock::new();
    ALL.get_or_init(|| {
        let mut all: BTreeMap<String, Sentence> = BTreeMap::new();
        for met in gather::all() {
            for text in sentences(&met.text) {
                let key = text.replace(|c: char| c.is_ascii_digit(), "0");
                let words = words(&text);
                if words > 0 {
                    all.entry(key)
                        .or_insert_with(|| sentence(text, words, &met));
                }
            }
        }
        all.into_values().collect()
    })
}

fn sentence(text: String, words: usize, met: &Met) -> Sentence {
    Sentence {
        text,
        place: met.place.clone(),
        words,
        raw: met.raw,
    }
}

/// A text cut where a sentence ends; what stands in quotes and in code stays whole.
fn sentences(text: &str) -> Vec<String> {
    const SHORT: [&str; 10] = [
        "e.g", "i.e", "ch", "no", "vol", "fig", "eq", "max", "min", "approx",
    ];
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let (mut out, mut begin) = (Vec::new(), 0);
    let (mut quoted, mut code) = (false, false);
    let mut letters = text.char_indices().peekable();
    while let Some((i, c)) = letters.next() {
        match c {
            '"' => quoted = !quoted,
            '`' => code = !code,
            _ => {}
        }
        let ends = matches!(c, '.' | '!' | '?')
            && !quoted
            && !code
            && letters.peek().is_none_or(|(_, next)| *next == ' ');
        let last = text[begin..i].rsplit(' ').next().unwrap_or_default();
        let last = last.trim_start_matches('(');
        if ends
            && !SHORT.contains(&last)
            && !(last.len() == 1 && last.starts_with(char::is_uppercase))
        {
            out.push(text[begin..=i].trim().to_owned());
            begin = i + 1;
        }
    }
    out.push(text[begin..].trim().to_owned());
    out.retain(|s| !s.is_empty());
    out
}

/// Without what is a name of its own: quotes, code and files.
fn bare(text: &str) -> String {
    let files = |w: &str| w.contains(".rs") || w.contains(".csv") || w.contains("tests/");
    let text: Vec<&str> = text
        .split(' ')
        .map(|w| if files(w) { "name" } else { w })
        .collect();
    let (mut out, mut closing) = (String::new(), None);
    for c in text.join(" ").chars() {
        match closing {
            Some(end) if c == end => {
                out.push_str(" name ");
                closing = None;
            }
            Some(_) => {}
            None => match c {
                '"' | '`' => closing = Some(c),
                '\u{201c}' => closing = Some('\u{201d}'),
                _ => out.push(c),
            },
        }
    }
    out
}

/// Words of a sentence as the rules of simple technical English count them (ASD-STE100, issue 8, rules 4.1 and 8.6, from memory): a number with its unit is one, so is a name in quotes or code.
fn words(text: &str) -> usize {
    const UNITS: [&str; 34] = [
        "m", "mm", "cm", "km", "ft", "in", "bar", "psi", "pa", "kpa", "mpa", "gpa", "l/s", "m3/s",
        "m/s", "ft/s", "gpm", "kw", "w", "kn", "n", "lbf", "lb", "kg", "s", "min", "h", "l", "gal",
        "%", "c", "f", "hp", "m3",
    ];
    let bare = bare(text).to_lowercase();
    let tokens: Vec<&str> = bare
        .split_whitespace()
        .map(|w| w.trim_matches(|c: char| ",;:()[].!?".contains(c)))
        .filter(|w| w.chars().any(char::is_alphanumeric) || *w == "%" || w.contains('{'))
        .collect();
    let number = |w: &str| w.starts_with(|c: char| c.is_ascii_digit() || c == '{');
    let unit = |i: usize| i > 0 && number(tokens[i - 1]) && UNITS.contains(&tokens[i]);
    (0..tokens.len()).filter(|i| !unit(*i)).count()
}

/// The private words of a sentence, each with the word that stands for it.
fn private<'a>(text: &str, terms: &'a [Term]) -> Vec<(&'a str, &'a str)> {
    // What is put into a text of the code has a name there that nobody reads.
    let parts = bare(text).to_lowercase();
    let lower: String = parts
        .split('{')
        .enumerate()
        .map(|(i, part)| match part.split_once('}') {
            Some((_, rest)) if i > 0 => format!(" _ {rest}"),
            _ => part.to_owned(),
        })
        .collect();
    let spaced: String = lower
        .chars()
        .map(|c| {
            if c.is_alphanumeric() || c == '\'' {
                c
            } else {
                ' '
            }
        })
        .collect();
    let spaced = spaced.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut out = Vec::new();
    for term in terms {
        let mut text = format!(" {spaced} ");
        for phrase in &term.unless {
            text = text.replace(&format!(" {phrase} "), " _ ");
        }
        for other in &term.others {
            if text.contains(&format!(" {other} ")) {
                out.push((*other, term.word));
            }
        }
    }
    out
}

/// The figures of the collection: sentences, mean words, share over 20 words, over 25, terms for one thing.
fn measured() -> String {
    let (all, terms) = (collection(), terms());
    let spoken: Vec<&Sentence> = all.iter().filter(|s| !s.raw && s.words > 2).collect();
    let count = spoken.len() as f64;
    let sum: usize = spoken.iter().map(|s| s.words).sum();
    let over = |n: usize| 100.0 * spoken.iter().filter(|s| s.words > n).count() as f64 / count;
    let mut met: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    let (mut with, mut uses) = (0, 0);
    for sentence in all {
        let found = private(&sentence.text, &terms);
        with += usize::from(!found.is_empty());
        uses += found.len();
        for (other, word) in found {
            let others = met.entry(word).or_default();
            if !others.contains(&other) {
                others.push(other);
            }
        }
    }
    let distinct: usize = met.values().map(Vec::len).sum();
    format!(
        "{} texts, of them {} sentences as a user meets them; mean {:.1} words; {:.1} % over 20 words, {:.1} % over 25; {} private words in {} texts; {:.2} terms for one thing ({} things)",
        all.len(),
        spoken.len(),
        sum as f64 / count,
        over(20),
        over(25),
        uses,
        with,
        1.0 + distinct as f64 / terms.len() as f64,
        terms.len(),
    )
}

#[test]
fn every_text_is_in_the_words_of_the_trade_and_short_enough() {
    let terms = terms();
    println!("{}", measured());
    let mut wrong = String::new();
    for sentence in collection() {
        let mut faults: Vec<String> = private(&sentence.text, &terms)
            .iter()
            .map(|(other, word)| format!("\"{other}\" for \"{word}\""))
            .collect();
        if sentence.words > 25 {
            faults.push(format!("{} words", sentence.words));
        }
        if bare(&sentence.text).matches(';').count() > 1 {
            faults.push("two semicolons".to_owned());
        }
        if !faults.is_empty() {
            let _ = writeln!(
                wrong,
                "{}: {}\n    {}",
                sentence.place,
                faults.join(", "),
                sentence.text
            );
        }
    }
    if let Ok(path) = std::env::var("STEADYFALL_WORDING") {
        std::fs::write(path, format!("{}\n{wrong}", measured())).unwrap();
    }
    assert!(
        wrong.is_empty(),
        "{} texts\n{wrong}",
        wrong.matches("\n    ").count()
    );
}

#[test]
fn the_measure_itself_measures() {
    assert_eq!(
        sentences("At 12.5 m it falls. See e.g. ISO 161. \"One. Two.\" stays (Fig. 3)."),
        [
            "At 12.5 m it falls.",
            "See e.g. ISO 161.",
            "\"One. Two.\" stays (Fig.",
            "3)."
        ]
    );
    assert_eq!(
        words("Close \"turbine valve\" in 7 s or more, at `a = 1`."),
        8
    );
    let terms = terms();
    assert_eq!(
        private("The crest and the standing pressure; a \"crest\".", &terms),
        [
            ("standing pressure", "static pressure"),
            ("crest", "high point"),
            ("standing", "existing")
        ]
    );
}
