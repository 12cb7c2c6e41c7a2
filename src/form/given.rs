//! What a site file says, key by key, and a change of one key that leaves every other letter of the file as it was.

use super::keys::keys;
use super::written::{Literal, written};
use crate::site::Key;
use crate::text::{Fault, Lines, Place};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeString, DeTable, DeValue};

/// A key that the file sets.
#[derive(Debug, Clone, PartialEq)]
pub struct GivenKey {
    /// The key.
    pub key: String,
    /// Its value.
    pub value: Literal,
    /// The line it stands on, from 1.
    pub line: u32,
    /// The bytes of key and value.
    span: Range<usize>,
    value_span: Range<usize>,
}

/// A table that the file has.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// "survey.part"; empty at the top.
    pub table: String,
    /// Which one of its name, from 0.
    pub index: usize,
    /// The line it begins on, from 1.
    pub line: u32,
    /// Its keys, in order.
    pub keys: Vec<GivenKey>,
    start: usize,
}

/// A change of a site file.
#[derive(Debug, Clone, PartialEq)]
pub enum SiteChange {
    /// Sets a key; nothing takes it out.
    Set(String, usize, String, Option<Literal>),
    /// Adds an empty table at the end.
    Add(String),
    /// Takes a table out, with the tables below it.
    Remove(String, usize),
}

/// Every table of a text, in the order of the file, the top first.
///
/// # Errors
/// Text that is not TOML.
pub fn given(file: &str, text: &str) -> Result<Vec<Table>, Fault> {
    let lines = Lines::new(file, text);
    let (table, errors) = DeTable::parse_recoverable(text);
    if let Some(error) = errors.first() {
        let byte = error.span().map_or(0, |s| s.start);
        return Err(lines
            .fault(byte, format!("this is not TOML: {}", error.message()))
            .expected("TOML 1.0 or 1.1")
            .advice(
                "write key = value lines under [table] heads, with texts and quantities in quotes",
            ));
    }
    let mut out = Vec::new();
    let mut walk = GivenWalk {
        text,
        lines: &lines,
    };
    walk.table("", 0, 0, table.get_ref(), &mut out);
    out.sort_by_key(|t| (t.start, !t.table.is_empty()));
    // Of several tables of one name each has its number, whatever stands between them.
    for i in 0..out.len() {
        let (before, rest) = out.split_at_mut(i);
        if let Some(own) = rest.first_mut() {
            own.index = before.iter().filter(|t| t.table == own.table).count();
        }
    }
    Ok(out)
}

struct GivenWalk<'w> {
    text: &'w str,
    lines: &'w Lines<'w>,
}

impl GivenWalk<'_> {
    fn table(
        &mut self,
        path: &str,
        index: usize,
        start: usize,
        table: &DeTable<'_>,
        out: &mut Vec<Table>,
    ) {
        let at = out.len();
        out.push(Table {
            table: path.to_owned(),
            index,
            line: self.line(start),
            keys: Vec::new(),
            start,
        });
        let mut own = Vec::new();
        for (key, value) in table.iter() {
            let name = key.get_ref().as_ref();
            let below = if path.is_empty() {
                name.to_owned()
            } else {
                format!("{path}.{name}")
            };
            let span = value.span();
            match value.get_ref() {
                DeValue::Table(table) if self.is_head(&span) => {
                    self.table(&below, 0, span.start, table, out);
                }
                DeValue::Array(values)
                    if values.iter().any(|v| {
                        matches!(v.get_ref(), DeValue::Table(_)) && self.is_head(&v.span())
                    }) =>
                {
                    for (i, value) in values.iter().enumerate() {
                        if let DeValue::Table(table) = value.get_ref() {
                            self.table(&below, i, value.span().start, table, out);
                        }
                    }
                }
                other => own.push(GivenKey {
                    key: name.to_owned(),
                    value: self.value(other, &span),
                    line: self.line(key.span().start),
                    span: key.span().start..span.end,
                    value_span: span,
                }),
            }
        }
        own.sort_by_key(|k| k.span.start);
        if let Some(table) = out.get_mut(at) {
            table.keys = own;
        }
    }

    /// Whether a table begins with a head of its own.
    fn is_head(&self, span: &Range<usize>) -> bool {
        self.text
            .get(span.start..)
            .is_some_and(|t| t.starts_with('['))
    }

    fn line(&self, byte: usize) -> u32 {
        self.lines.place(byte).line.unwrap_or(1)
    }

    fn raw(&self, span: &Range<usize>) -> String {
        self.text.get(span.clone()).unwrap_or("").to_owned()
    }

    fn value(&self, value: &DeValue<'_>, span: &Range<usize>) -> Literal {
        match value {
            DeValue::String(text) => Literal::One(text.to_string()),
            DeValue::Array(values) => {
                let all = values.iter().map(|v| match v.get_ref() {
                    DeValue::Array(_) | DeValue::Table(_) => None,
                    DeValue::String(text) => Some(text.to_string()),
                    _ => Some(self.raw(&v.span())),
                });
                all.collect::<Option<_>>()
                    .map_or_else(|| Literal::Other(self.raw(span)), Literal::List)
            }
            DeValue::Table(table) => {
                let mut all: Vec<_> = table.iter().collect();
                all.sort_by_key(|(name, _)| name.span().start);
                let row = |(name, value): (&Spanned<DeString<'_>>, &Spanned<DeValue<'_>>)| {
                    let plain = matches!(value.get_ref(), DeValue::Integer(_) | DeValue::Float(_));
                    let share = || format!("{} = {}", name.get_ref(), self.raw(&value.span()));
                    plain.then(share)
                };
                let rows = all.into_iter().map(row).collect::<Option<_>>();
                rows.map_or_else(|| Literal::Other(self.raw(span)), Literal::List)
            }
            _ => Literal::One(self.raw(span)),
        }
    }
}

/// The text with changes made in order. Whether what is set is right the reader says.
///
/// # Errors
/// Text that is not TOML, or a table that cannot be changed as it stands.
pub fn changed(file: &str, text: &str, changes: &[SiteChange]) -> Result<String, Fault> {
    let known = keys();
    let mut text = text.to_owned();
    for change in changes {
        let out = one(file, &text, change, &known)?;
        let (SiteChange::Set(table, ..) | SiteChange::Add(table) | SiteChange::Remove(table, _)) =
            change;
        if !stands(&out, change) {
            return Err(by_hand(file, table));
        }
        text = out;
    }
    Ok(text)
}

/// Whether a change did what it was for.
fn stands(text: &str, change: &SiteChange) -> bool {
    let Ok(tables) = given("", text) else {
        return false;
    };
    let SiteChange::Set(table, index, key, value) = change else {
        return true;
    };
    let last = tables.iter().filter(|t| t.table == *table).count();
    let index = (*index).min(last.saturating_sub(1));
    let own = tables
        .iter()
        .find(|t| t.table == *table && t.index == index);
    own.is_some_and(|t| t.keys.iter().any(|k| k.key == *key)) == value.is_some()
}

fn one(file: &str, text: &str, change: &SiteChange, known: &[Key]) -> Result<String, Fault> {
    let tables = given(file, text)?;
    let find =
        |table: &str, index: usize| tables.iter().find(|t| t.table == table && t.index == index);
    let mut out = text.to_owned();
    match change {
        SiteChange::Add(table) => add(&mut out, table, known),
        SiteChange::Remove(table, index) => {
            if let Some(own) = find(table, *index) {
                let below = format!("{table}.");
                let end = tables
                    .iter()
                    .filter(|t| t.start > own.start && !t.table.starts_with(&below))
                    .map(|t| line_start(text, t.start))
                    .min()
                    .unwrap_or(text.len());
                out.replace_range(line_start(text, own.start)..end, "");
            }
        }
        SiteChange::Set(table, index, key, value) => {
            let form = known
                .iter()
                .find(|k| k.table == *table && k.key == key)
                .map(|k| &k.form);
            let own = find(table, *index);
            let old = own.and_then(|t| t.keys.iter().find(|k| k.key == *key));
            match (own, old, value) {
                (_, Some(old), Some(value)) => {
                    out.replace_range(old.value_span.clone(), &written(value, form));
                }
                (_, Some(old), None) => {
                    out.replace_range(
                        line_start(text, old.span.start)..line_end(text, old.span.end),
                        "",
                    );
                }
                (Some(own), None, Some(value)) => {
                    let line = format!("{key} = {}\n", written(value, form));
                    let at = match own.keys.last() {
                        Some(last) => line_end(text, last.span.end),
                        None if own.table.is_empty() => 0,
                        None => line_end(text, own.start),
                    };
                    insert(&mut out, at, &line);
                }
                (None, _, Some(value)) => {
                    add(&mut out, table, known);
                    let line = format!("{key} = {}\n", written(value, form));
                    let end = out.len();
                    insert(&mut out, end, &line);
                }
                (_, _, None) => {}
            }
        }
    }
    Ok(out)
}

fn insert(text: &mut String, at: usize, line: &str) {
    let needs_end = at > 0 && !text.get(..at).is_some_and(|t| t.ends_with('\n'));
    text.insert_str(at, &format!("{}{line}", if needs_end { "\n" } else { "" }));
}

fn add(text: &mut String, table: &str, known: &[Key]) {
    let many = known.iter().any(|k| k.table == table && k.many);
    let head = if many {
        format!("\n[[{table}]]\n")
    } else {
        format!("\n[{table}]\n")
    };
    let end = text.len();
    insert(text, end, &head);
}

/// What is written inside a line, or in a table that another's head makes, is the user's to change.
fn by_hand(file: &str, table: &str) -> Fault {
    Fault::new(
        Place::file(file).key(table),
        "only a person can change this text",
    )
    .expected(format!("[{table}] or [[{table}]] in a row of its own"))
    .advice("change the text of the site file")
}

fn line_start(text: &str, byte: usize) -> usize {
    text.get(..byte)
        .and_then(|t| t.rfind('\n'))
        .map_or(0, |n| n + 1)
}

fn line_end(text: &str, byte: usize) -> usize {
    text.get(byte..)
        .and_then(|t| t.find('\n'))
        .map_or(text.len(), |n| byte + n + 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::form::blank;
    use crate::site::read_text;
    use crate::unit::Units;
    use proptest::prelude::*;

    fn set(table: &str, index: usize, key: &str, value: &str) -> SiteChange {
        SiteChange::Set(
            table.to_owned(),
            index,
            key.to_owned(),
            Some(Literal::One(value.to_owned())),
        )
    }

    fn said<'t>(tables: &'t [Table], table: &str, index: usize, key: &str) -> Option<&'t Literal> {
        tables
            .iter()
            .find(|t| t.table == table && t.index == index)?
            .keys
            .iter()
            .find(|k| k.key == key)
            .map(|k| &k.value)
    }

    const SAMPLE: &str = include_str!("../../sample-surveys/otter-gill/site.toml");

    #[test]
    fn one_figure_is_changed_and_nothing_else() {
        let text = changed("", SAMPLE, &[set("turbine", 0, "nozzle_diameter", "8 mm")]).unwrap();
        assert_eq!(text, SAMPLE.replace("\"9 mm\"", "\"8 mm\""));
        let text = changed("", &text, &[set("turbine", 0, "jets", "3")]).unwrap();
        assert!(text.contains("\njets = 3\n"));
        let text = changed("", &text, &[set("turbine", 0, "jets", "three")]).unwrap();
        assert!(text.contains("\njets = \"three\"\n"));
        let faults = read_text("site.toml", &text).unwrap_err();
        assert_eq!(faults[0].place.key.as_deref(), Some("turbine.jets"));
    }

    #[test]
    fn keys_and_tables_come_and_go() {
        let text = changed(
            "",
            SAMPLE,
            &[
                set("mark", 2, "kind", "vent"),
                set("mark", 2, "at", "212 m"),
                set("pipe", 0, "condition", "used"),
                set("", 0, "title", "a \"b\"\n"),
                set("limits", 0, "velocity", "2 m/s"),
            ],
        )
        .unwrap();
        let site = read_text("", &text).unwrap();
        assert_eq!(site.marks.len(), 3);
        assert_eq!(site.title.as_deref(), Some("a \"b\""));
        assert!(site.pipes[0].condition.is_some() && site.pipes[1].condition.is_none());
        assert!(site.limits.velocity_m_per_s > 0.0);
        let back = changed(
            "",
            &text,
            &[
                SiteChange::Remove("mark".to_owned(), 2),
                SiteChange::Set("pipe".to_owned(), 0, "condition".to_owned(), None),
                SiteChange::Remove("limits".to_owned(), 0),
                set("", 0, "title", "Otter Gill (invented)"),
            ],
        )
        .unwrap();
        assert_eq!(back.trim_end(), SAMPLE.trim_end());
        let none = changed("", SAMPLE, &[SiteChange::Remove("mark".to_owned(), 0)]).unwrap();
        let tables = given("", &none).unwrap();
        assert_eq!(
            said(&tables, "mark", 0, "kind"),
            Some(&Literal::One("strap".to_owned()))
        );
    }

    #[test]
    fn a_part_goes_with_its_tape() {
        let text = "[survey]\n[[survey.part]]\nfiles = [\"a.csv\"]\n[survey.part.tape]\nlength = \"30 m\"\n[[survey.part]]\nfiles = [\"b.csv\", \"c.csv\"]\n[intake]\n";
        let gone = changed("", text, &[SiteChange::Remove("survey.part".to_owned(), 0)]).unwrap();
        assert_eq!(
            gone,
            "[survey]\n[[survey.part]]\nfiles = [\"b.csv\", \"c.csv\"]\n[intake]\n"
        );
        let tables = given("", &gone).unwrap();
        assert_eq!(
            said(&tables, "survey.part", 0, "files"),
            Some(&Literal::List(vec!["b.csv".to_owned(), "c.csv".to_owned()]))
        );
    }

    #[test]
    fn what_is_written_inside_a_line_is_left_alone() {
        let text = "intake = { water_level = \"0.6 m\" }\n";
        assert!(changed("s.toml", text, &[set("intake", 0, "kind", "box")]).is_err());
        let text = "survey.tape.length = \"30 m\"\n";
        assert!(changed("s.toml", text, &[set("survey", 0, "of", "invert")]).is_err());
        // A table may be opened after one inside it.
        let text = "[survey.tape]\nlength = \"30 m\"\n";
        let text = changed("s.toml", text, &[set("survey", 0, "of", "invert")]).unwrap();
        assert_eq!(
            text,
            "[survey.tape]\nlength = \"30 m\"\n\n[survey]\nof = \"invert\"\n"
        );
    }

    proptest! {
        #[test]
        fn what_is_set_is_given(text in "\\PC{1,20}", index in 0..3usize) {
            let out = changed("", &blank(Units::Metric), &[set("mark", index, "name", &text)]).unwrap();
            let tables = given("", &out).unwrap();
            let marks = tables.iter().filter(|t| t.table == "mark").count();
            prop_assert_eq!(marks, 1);
            prop_assert_eq!(said(&tables, "mark", 0, "name"), Some(&Literal::One(text)));
            prop_assert!(out.starts_with(blank(Units::Metric).trim_end()));
        }

        #[test]
        fn any_text_of_a_number_stays_toml(text in "[-0-9.eE+_ #\\]\\[,a-f]{0,8}") {
            let out = changed("", SAMPLE, &[set("turbine", 0, "water_to_wire", &text)]).unwrap();
            prop_assert!(given("", &out).is_ok(), "{}", out);
        }
    }
}
