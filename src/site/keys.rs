//! Every key that the reader of the site file asks for, with the words of the blank file beside it: what a form is made from.
//!
//! Nothing is listed by hand: the reader is run on an empty paper and listened to, so that a form has every key the reader knows, and no other.

use super::blank::METRIC;
use super::key::Key;
use super::read::heard;

/// A line of the blank file that names a key, whatever stands before it.
struct TemplateLine {
    table: &'static str,
    key: &'static str,
    value: &'static str,
    help: Option<&'static str>,
    first: bool,
}

/// Every key, in the order in which the reader asks.
pub fn keys() -> Vec<Key> {
    let lines = lines();
    heard()
        .into_iter()
        .map(|h| {
            let own = || {
                lines
                    .iter()
                    .filter(|l| l.table == h.table && l.key == h.key)
            };
            // What is said of the keys of a whole survey holds for those of a part.
            let alike = || {
                lines
                    .iter()
                    .filter(|l| h.table.starts_with("survey.") && l.table == "survey")
                    .filter(|l| l.key == h.key)
            };
            Key {
                help: own().chain(alike()).find_map(|l| l.help),
                example: own().chain(alike()).map(|l| l.value).next(),
                first: own().any(|l| l.first) && h.key != "format",
                table: h.table,
                many: h.many,
                key: h.key,
                form: h.form,
                limits: h.limits,
            }
        })
        .collect()
}

/// What the blank file says of each table: the words beside its head.
pub fn tables() -> Vec<(&'static str, &'static str)> {
    let heads = METRIC.lines().filter_map(|line| {
        let (line, help) = parted(line);
        Some((head(line)?, help?))
    });
    let mut said: Vec<(&str, &str)> = Vec::new();
    for (table, help) in heads {
        if !said.iter().any(|s| s.0 == table) {
            said.push((table, help));
        }
    }
    said
}

fn lines() -> Vec<TemplateLine> {
    let mut table = "";
    let mut block = None;
    let mut out = Vec::new();
    for whole in METRIC.lines() {
        let (line, help) = parted(whole);
        let in_block = whole.starts_with("#|");
        if !in_block {
            block = None;
        }
        if let Some(name) = head(line) {
            // A block that stands for other lines of a table may hold a table of its own.
            if in_block {
                block = Some(name);
            } else {
                table = name;
            }
        } else if let Some((key, value)) = line.split_once(" = ")
            && key.bytes().all(|b| b.is_ascii_lowercase() || b == b'_')
        {
            out.push(TemplateLine {
                table: block.unwrap_or(table),
                key,
                value: value.trim().trim_matches('"'),
                help,
                first: !whole.starts_with('#'),
            });
        }
    }
    out
}

/// A line without what puts it to rest, and the words behind it.
fn parted(line: &'static str) -> (&'static str, Option<&'static str>) {
    let line = line.trim_start_matches("#|").trim_start_matches('#');
    match line.split_once(" # ").or_else(|| line.split_once("\t# ")) {
        Some((line, help)) => (line.trim(), Some(help.trim())),
        None => (line.trim(), None),
    }
}

fn head(line: &'static str) -> Option<&'static str> {
    let name = line.strip_prefix('[')?.strip_suffix(']')?;
    Some(name.trim_start_matches('[').trim_end_matches(']'))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::site::key::KeyForm;
    use crate::unit::QuantityKind;

    fn key(table: &str, key: &str) -> Key {
        let all = keys();
        let found = all.iter().find(|k| k.table == table && k.key == key);
        found
            .unwrap_or_else(|| panic!("{table}.{key} was not heard"))
            .clone()
    }

    #[test]
    fn what_the_reader_takes_is_heard() {
        let joint = key("pipe", "joint");
        assert!(matches!(&joint.form, KeyForm::Words(w) if w.contains(&"fused")));
        assert!(joint.first && joint.many);
        let level = key("intake", "water_level");
        assert_eq!(level.form, KeyForm::Quantity(QuantityKind::Length));
        assert_eq!(level.example, Some("0.6 m"));
        assert!(level.help.unwrap().contains("static water level"));
        assert_eq!(key("gauge", "at").form, KeyForm::Place);
        assert_eq!(key("jet", "nozzle_diameter").example, Some("9 mm"));
        assert_eq!(key("survey", "date").form, KeyForm::Day);
        assert_eq!(key("stream", "months").form, KeyForm::Texts);
        assert!(key("survey.part", "setup_sd").help.is_some());
        assert_eq!(key("", "units").form, KeyForm::Words(vec!["metric", "us"]));
        assert!(tables().iter().any(|t| t.0 == "fitting"));
    }

    #[test]
    fn every_key_of_the_blank_file_is_heard_and_ten_come_first() {
        let all = keys();
        for line in lines() {
            assert!(
                all.iter()
                    .any(|k| k.table == line.table && k.key == line.key),
                "{}.{} of the blank file is not heard",
                line.table,
                line.key
            );
        }
        assert_eq!(all.iter().filter(|k| k.first).count(), 10);
        assert!(all.len() > 120, "{}", all.len());
    }
}
