//! Every key that the reader of the site file asks for, with the words of the blank file beside it: what a form is made from.
//!
//! Nothing is listed by hand: the reader is run on an empty paper and listened to, so that a form has every key the reader knows, and no other.

use super::blank::METRIC;
use crate::site::Key;
use crate::site::read::heard;

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
            let alike = || {
                lines
                    .iter()
                    .filter(|l| whole(l.table) == whole(&h.table) && l.key == h.key)
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

/// What is said of the keys of a whole survey holds for those of a part, and the other way round.
fn whole(table: &str) -> String {
    table.replace("survey.part", "survey")
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
    use crate::form::{Literal, SiteChange, changed, given};
    use crate::reading::ReadOptions;
    use crate::site::bounds::MOST;
    use crate::site::key::KeyForm;
    use crate::site::{Limits, RegradeWish, read_text};
    use crate::unit::{QuantityKind, parse};

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
    fn the_blank_file_has_every_key_that_is_heard_and_no_other() {
        let (all, lines) = (keys(), lines());
        for line in &lines {
            assert!(
                all.iter()
                    .any(|k| k.table == line.table && k.key == line.key),
                "{}.{} of the blank file is not heard",
                line.table,
                line.key
            );
        }
        for key in &all {
            // One file of measurements may be said without a list.
            assert!(
                key.example.is_some() || (key.table == "stream" && key.key == "file"),
                "{}.{} is not in the blank file",
                key.table,
                key.key
            );
        }
        assert_eq!(all.iter().filter(|k| k.first).count(), 10);
    }

    /// The file of the tests in which every key stands is read by the reader itself, so that what it takes and does not tell a listener is seen.
    #[test]
    fn what_a_full_site_file_says_is_heard() {
        let text = include_str!("../../tests/sites/every-key.toml");
        assert!(read_text("every-key.toml", text).is_ok());
        let all = keys();
        let heard = |table: &str, key: &str| all.iter().any(|k| k.table == table && k.key == key);
        let mut asked = 0;
        for table in given("every-key.toml", text).unwrap() {
            let free = table.table.rsplit_once('.');
            let free = free.is_some_and(|(above, key)| {
                let mut of = all.iter().filter(|k| k.table == above && k.key == key);
                of.any(|k| k.form == KeyForm::Shares)
            });
            for key in table.keys.iter().filter(|_| !free) {
                assert!(heard(&table.table, &key.key), "{}.{}", table.table, key.key);
                asked += 1;
            }
        }
        assert!(asked > 200, "{asked}");
    }

    #[test]
    fn shares_by_name_are_read_shown_and_written() {
        let shares = key("case", "fittings");
        assert_eq!(shares.form, KeyForm::Shares);
        assert!(shares.limits.is_some() && shares.help.is_some());
        let set = |rows: &[&str]| {
            let rows = rows.iter().map(|r| (*r).to_owned()).collect();
            SiteChange::Set(
                "case".to_owned(),
                0,
                "fittings".to_owned(),
                Some(Literal::List(rows)),
            )
        };
        let file = "[[case]]\nname = \"low\"\njets = 1\n";
        let rows = ["head \"upper\" valve = 0.5", "a = b = 1"];
        let text = changed("s", file, &[set(&rows)]).unwrap();
        let tables = given("s", &text).unwrap();
        let said = tables
            .iter()
            .find(|t| t.table == "case")
            .map(|t| &t.keys[2]);
        assert_eq!(
            said.unwrap().value,
            Literal::List(rows.map(str::to_owned).to_vec())
        );
        // A row without a number is for the reader to tell.
        let text = changed("s", file, &[set(&["valve = half", "other"])]).unwrap();
        assert!(text.contains("fittings = { \"valve\" = \"half\", \"other\" = \"\" }"));
    }

    /// Words that are read and not shown: another spelling, and what is so without being said.
    const QUIET: &[&str] = &["pipe center", "miter", "closed", "jets"];

    #[test]
    fn the_blank_file_shows_the_words_that_are_read() {
        let (all, lines) = (keys(), lines());
        let shown = |key: &Key| -> Vec<&str> {
            let own = lines
                .iter()
                .filter(|l| whole(l.table) == whole(&key.table) && l.key == key.key);
            own.flat_map(|l| {
                l.help
                    .iter()
                    .flat_map(|h| h.split('"').skip(1).step_by(2))
                    .chain([l.value])
            })
            .collect()
        };
        for key in &all {
            let KeyForm::Words(words) = &key.form else {
                continue;
            };
            // A choice that several keys have is shown in full beside one of them.
            let same = all.iter().filter(|k| k.form == key.form);
            let full: Vec<&str> = same.flat_map(shown).collect();
            for word in words.iter().filter(|w| !QUIET.contains(w)) {
                assert!(full.contains(word), "{}.{}: \"{word}\"", key.table, key.key);
            }
            for word in shown(key) {
                let own = word.starts_with(|c: char| c.is_ascii_digit());
                assert!(
                    own || words.contains(&word),
                    "{}.{}: \"{word}\"",
                    key.table,
                    key.key
                );
            }
        }
    }

    #[test]
    fn every_list_that_is_bounded_is_one_that_is_heard() {
        for (name, _) in MOST {
            let is = |k: &Key| {
                let table = k.table.rsplit('.').next() == Some(name);
                (table && k.many) || (k.key == *name && k.form == KeyForm::Texts)
            };
            assert!(keys().iter().any(is), "{name}");
        }
    }

    #[test]
    fn what_is_shown_as_usual_is_what_is_taken() {
        let blank = lines();
        let shown = |table: &str, key: &str| {
            let line = blank.iter().find(|l| l.table == table && l.key == key);
            line.unwrap().value
        };
        let speed = |key| parse(QuantityKind::Speed, shown("limits", key)).unwrap();
        let limits = Limits::default();
        assert_eq!(speed("velocity"), limits.velocity_m_per_s);
        assert_eq!(speed("fill_speed"), limits.fill_speed_m_per_s);
        let grade = parse(QuantityKind::Grade, shown("regrade", "least_grade"));
        let regrade = RegradeWish::default();
        assert_eq!(grade.unwrap(), regrade.least_grade);
        let price = |key| shown("regrade", key).parse::<f64>().unwrap();
        let prices = (regrade.dig_price, regrade.prop_price);
        assert_eq!((price("dig_price"), price("prop_price")), prices);
        let staff = parse(QuantityKind::Length, shown("survey", "staff")).unwrap();
        assert_eq!(staff, ReadOptions::default().staff_m);
    }
}
