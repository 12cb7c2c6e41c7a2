//! The book that the ledger prints: docs/verification.md.

use super::Row;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

/// What a row that holds gave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Seen {
    /// A number within its tolerance of the expected one.
    Number { got: f64, want: f64, tolerance: f64 },
    /// The expected word.
    Word,
}

impl Seen {
    /// The difference as a share of what is allowed.
    fn share(self) -> f64 {
        match self {
            Self::Number {
                got,
                want,
                tolerance,
            } if tolerance > 0.0 => (got - want).abs() / tolerance,
            _ => 0.0,
        }
    }

    /// "1.02 for 1 +- 0.04 m".
    fn told(self, unit: &str) -> String {
        match self {
            Self::Number {
                got,
                want,
                tolerance,
            } if tolerance > 0.0 => {
                let unit = if unit == "-" { "" } else { unit };
                let told = format!(
                    "{} for {} \u{b1} {} {unit}",
                    short(got, 5),
                    short(want, 5),
                    short(tolerance, 2)
                );
                told.trim_end().to_owned()
            }
            Self::Number { .. } => "none: equal".to_owned(),
            Self::Word => "none: the same word".to_owned(),
        }
    }
}

/// A number to so many digits that count, without needless noughts.
fn short(value: f64, digits: i32) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let lead = value.abs().log10().floor() as i32;
    let decimals = usize::try_from(digits - 1 - lead).unwrap_or(0);
    if !(-4..9).contains(&lead) {
        let (figure, power) = (value / 10f64.powi(lead), lead);
        return format!("{}e{power}", trimmed(format!("{figure:.3}")));
    }
    trimmed(format!("{value:.decimals$}"))
}

fn trimmed(text: String) -> String {
    if text.contains('.') {
        let text = text.trim_end_matches('0');
        text.trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// One quantity: all its rows.
#[derive(Default)]
struct Entry {
    by: &'static str,
    rows: usize,
    memory: usize,
    worst: Option<(Seen, String)>,
    sources: BTreeSet<String>,
    hows: BTreeSet<String>,
}

/// Every quantity by its topic.
#[derive(Default)]
pub(super) struct Book(BTreeMap<String, BTreeMap<String, Entry>>);

impl Book {
    /// A row that holds.
    pub(super) fn enter(&mut self, row: &Row, by: &'static str, seen: Seen) {
        let mut topic = row.topic.clone();
        if let Some(first) = topic.get_mut(..1) {
            first.make_ascii_uppercase();
        }
        let quantities = self.0.entry(topic).or_default();
        let entry = quantities.entry(row.quantity.clone()).or_default();
        entry.by = by;
        entry.rows += 1;
        entry.memory += usize::from(!matches!(row.how.as_str(), "READ" | "COMPUTED"));
        let worst = entry.worst.as_ref().map(|w| w.0.share());
        if worst.is_none_or(|w| seen.share() > w) {
            entry.worst = Some((seen, row.unit.clone()));
        }
        entry.sources.insert(row.source.replace('|', "/"));
        entry.hows.insert(row.how.clone());
    }

    /// The page.
    pub(super) fn page(&self, excused: &BTreeMap<String, String>) -> String {
        let all = || self.0.values().flat_map(BTreeMap::values);
        let mut out = String::from(
            "# What stands behind the figures\n\nPrinted by `cargo test` from tests/checks: every calculation, what outside value it was held against, and how far off it was.\n\n",
        );
        let _ = writeln!(
            out,
            "{} outside values of {} quantities are checked, {} of them known from memory or from a secondary source only; {} rows are not used, each with its reason ([at the end](#rows-not-used)). A row that is neither checked nor excused fails the test.\n",
            all().map(|e| e.rows).sum::<usize>(),
            all().count(),
            all().map(|e| e.memory).sum::<usize>(),
            excused.len()
        );
        out.push_str("How a value is known: **READ** in the named document; **COMPUTED** with an independent general-purpose library or calculation; **FORMULA FROM MEMORY**: computed so, by a formula or figure that was not read; **SECONDARY** or **MEMORY**: not verified against the document. Every independent calculation stands in tests/checks/worked and can be run. The largest difference is told by the row in which it is the largest share of what that row allows: computed *for* expected \u{b1} allowed.\n\n");
        self.contents(&mut out);
        for (topic, entries) in &self.0 {
            let _ = write!(
                out,
                "\n## {topic}\n\n| quantity | computed by | values | largest difference | known | sources |\n|---|---|---|---|---|---|\n"
            );
            for (quantity, entry) in entries {
                let worst = entry.worst.as_ref();
                let known: Vec<&str> = entry.hows.iter().map(String::as_str).collect();
                let sources: Vec<&str> = entry.sources.iter().map(String::as_str).collect();
                let _ = writeln!(
                    out,
                    "| {quantity} | `{}` | {} | {} | {} | {} |",
                    entry.by,
                    entry.rows,
                    worst.map_or_else(String::new, |(seen, unit)| seen.told(unit)),
                    known.join(", "),
                    sources.join("; ")
                );
            }
        }
        out.push_str("\n## Rows not used\n\n| id | why |\n|---|---|\n");
        for (id, reason) in excused {
            let _ = writeln!(out, "| {id} | {reason} |");
        }
        out
    }

    /// Topics with what they hold, each leading to its own table.
    fn contents(&self, out: &mut String) {
        out.push_str("| topic | quantities | values | from memory or second hand | largest difference, of what is allowed |\n|---|---|---|---|---|\n");
        for (topic, entries) in &self.0 {
            let sum = |f: fn(&Entry) -> usize| entries.values().map(f).sum::<usize>();
            let shares = entries.values().filter_map(|e| e.worst.as_ref());
            let _ = writeln!(
                out,
                "| [{topic}](#{}) | {} | {} | {} | {:.0} % |",
                topic.to_lowercase().replace('\'', "").replace(' ', "-"),
                entries.len(),
                sum(|e| e.rows),
                sum(|e| e.memory),
                100.0 * shares.map(|w| w.0.share()).fold(0.0, f64::max)
            );
        }
    }
}

#[test]
fn figures_are_told_short() {
    for (value, text) in [
        (0.0, "0"),
        (-0.5, "-0.5"),
        (12.340_01, "12.34"),
        (123_456.7, "123457"),
        (1.25e-7, "1.25e-7"),
        (2.2e9, "2.2e9"),
        (100.0, "100"),
    ] {
        assert_eq!(short(value, 5), text);
    }
    let seen = Seen::Number {
        got: 1.02,
        want: 1.0,
        tolerance: 0.04,
    };
    assert_eq!(seen.told("m"), "1.02 for 1 \u{b1} 0.04 m");
    assert_eq!(seen.told("-"), "1.02 for 1 \u{b1} 0.04");
    assert!((seen.share() - 0.5).abs() < 1e-9);
}
