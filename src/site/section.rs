use super::Located;
use super::bounds::most_of;
use super::diagnostics::Diagnostics;
use super::key::{Heard, KeyForm};
use crate::text::{Fault, Sentence, nearest};
use std::cell::RefCell;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A value of the file with its place in it.
pub(super) type SpannedValue<'t> = Spanned<DeValue<'t>>;

/// One table of the file: hands out its keys by type and remembers which were asked for, so that what is left over is unknown.
pub(super) struct Section<'p, 't> {
    pub(super) paper: &'p Diagnostics<'p>,
    table: &'t DeTable<'t>,
    /// Where the table begins.
    pub(super) start: usize,
    /// Path of its keys: "survey.part".
    path: String,
    /// As a person writes it: "[[survey.part]]"; empty for the top of the file.
    shown: String,
    /// Whether there may be several of it.
    is_list: bool,
    asked: RefCell<Vec<&'static str>>,
}

impl<'p, 't> Section<'p, 't> {
    /// The top of the file.
    pub(super) fn top(paper: &'p Diagnostics<'p>, table: &'t DeTable<'t>) -> Self {
        Self {
            paper,
            table,
            start: 0,
            path: String::new(),
            shown: String::new(),
            is_list: false,
            asked: RefCell::default(),
        }
    }

    /// The path of one of its keys.
    pub(super) fn path_of(&self, key: &str) -> String {
        if self.path.is_empty() {
            key.to_owned()
        } else {
            format!("{}.{key}", self.path)
        }
    }

    /// Tells a listener what a key takes.
    pub(super) fn hear(&self, key: &'static str, form: KeyForm, limits: Option<&'static str>) {
        if self.paper.listens() {
            self.paper.hear(Heard {
                table: self.path.clone(),
                many: self.is_list,
                key,
                form,
                limits,
            });
        }
    }

    /// The value of a key.
    pub(super) fn value(&self, key: &'static str) -> Option<&'t SpannedValue<'t>> {
        self.asked.borrow_mut().push(key);
        self.table.get(key)
    }

    /// Whether a key is there.
    pub(super) fn has(&self, key: &'static str) -> bool {
        self.value(key).is_some()
    }

    /// Where a key's value begins, or the table where it is not there.
    pub(super) fn byte_of(&self, key: &str) -> usize {
        self.table.get(key).map_or(self.start, |v| v.span().start)
    }

    /// Every key with its value, in the order of the file.
    pub(super) fn entries(
        &self,
    ) -> Vec<(&'t Spanned<toml::de::DeString<'t>>, &'t SpannedValue<'t>)> {
        let mut all: Vec<_> = self.table.iter().collect();
        all.sort_by_key(|(key, _)| key.span().start);
        all
    }

    /// Tells a fault at a key's value.
    pub(super) fn tell(
        &self,
        key: &str,
        text: impl Into<Sentence>,
        fill: impl FnOnce(Fault) -> Fault,
    ) {
        let byte = self.byte_of(key);
        let mut fault = self.paper.fault_at(byte, &self.path_of(key), text);
        if let Some(value) = self.table.get(key) {
            fault = fault.found(self.paper.raw(&value.span()));
        }
        self.paper.tell(byte, fill(fault));
    }

    /// Tells that a key is missing.
    pub(super) fn missing(&self, key: &str, expected: &str, advice: &str) {
        let fault = self
            .paper
            .fault_at(
                self.start,
                &self.path_of(key),
                format!("{} needs \"{key}\"", self.shown),
            )
            .expected(expected)
            .advice(advice);
        self.paper.tell(self.start, fault);
    }

    /// Tells a key that is not there.
    pub(super) fn need(&self, key: &'static str, expected: &str, advice: &str) {
        if !self.has(key) {
            self.missing(key, expected, advice);
        }
    }

    /// The same for a key that takes one of these words.
    pub(super) fn need_choice<T>(&self, key: &'static str, of: &[(&str, T)], advice: &str) {
        let words: Vec<&str> = of.iter().map(|(word, _)| *word).collect();
        if let [all @ .., last] = words.as_slice() {
            self.need(key, &format!("{} or {last}", all.join(", ")), advice);
        }
    }

    /// A table below this one.
    pub(super) fn table(&self, key: &'static str) -> Option<Self> {
        if self.paper.listens() {
            return Some(self.below(key, self.table, 0, false));
        }
        let value = self.value(key)?;
        match value.get_ref() {
            DeValue::Table(table) => Some(self.below(key, table, value.span().start, false)),
            DeValue::Array(_) => {
                let path = self.path_of(key);
                let (what, expected, advice) = if key == "turbine" {
                    (
                        "only one turbine site is possible".to_owned(),
                        "one [turbine], with the jets of all machines at that place",
                        "write machines in one powerhouse as one [turbine]: jets = 6 for equal jets, or one [[jet]] for each jet",
                    )
                } else {
                    (
                        format!("more than one [{path}]"),
                        "one table of that name",
                        "put its keys into one table",
                    )
                };
                let fault = self
                    .paper
                    .fault_at(value.span().start, &path, what)
                    .found(format!("[[{path}]]"))
                    .expected(expected)
                    .advice(advice);
                self.paper.tell(value.span().start, fault);
                None
            }
            _ => {
                self.wrong_type(
                    key,
                    value,
                    "a table",
                    &format!("write [{}] and its keys below it", self.path_of(key)),
                );
                None
            }
        }
    }

    /// What `read` makes of each table of a list below this one, in order; what it cannot read is left out.
    pub(super) fn each<T, O: IntoIterator<Item = T>>(
        &self,
        key: &'static str,
        read: impl FnMut(Self) -> O,
    ) -> Vec<T> {
        self.tables(key).into_iter().flat_map(read).collect()
    }

    /// The tables of a list below this one, in order.
    pub(super) fn tables(&self, key: &'static str) -> Vec<Self> {
        if self.paper.listens() {
            return vec![self.below(key, self.table, 0, true)];
        }
        let Some(value) = self.value(key) else {
            return Vec::new();
        };
        let path = self.path_of(key);
        match value.get_ref() {
            DeValue::Array(values) => self
                .counted(key, &format!("[[{path}]]"), values)
                .filter_map(|v| match v.get_ref() {
                    DeValue::Table(table) => Some(self.below(key, table, v.span().start, true)),
                    _ => {
                        self.wrong_type(
                            key,
                            v,
                            "a table",
                            &format!("write [[{path}]] and its keys below it"),
                        );
                        None
                    }
                })
                .collect(),
            _ => {
                self.wrong_type(
                    key,
                    value,
                    &format!("a list of [[{path}]]"),
                    &format!("write [[{path}]] with two brackets, because several are possible"),
                );
                Vec::new()
            }
        }
    }

    /// The values of a list up to the most that are worked out; what is beyond them is told.
    pub(super) fn counted<'v>(
        &self,
        key: &str,
        shown: &str,
        values: &'v [SpannedValue<'v>],
    ) -> impl Iterator<Item = &'v SpannedValue<'v>> + use<'v> {
        let most = most_of(key);
        if let Some(beyond) = values.get(most) {
            let byte = beyond.span().start;
            let fault = self
                .paper
                .fault_at(byte, &self.path_of(key), format!("too many of {shown}"))
                .found(values.len().to_string())
                .expected(format!("at most {most}"))
                .advice("keep the important ones: each one is calculated and reported");
            self.paper.tell(byte, fault);
        }
        values.iter().take(most)
    }

    fn below(&self, key: &str, table: &'t DeTable<'t>, start: usize, is_list: bool) -> Self {
        let path = self.path_of(key);
        let shown = if is_list {
            format!("[[{path}]]")
        } else {
            format!("[{path}]")
        };
        Self {
            paper: self.paper,
            table,
            start,
            path,
            shown,
            is_list,
            asked: RefCell::default(),
        }
    }

    /// Where the table itself was said.
    pub(super) fn said(&self) -> Located<()> {
        self.paper.said(&(self.start..self.start), &self.path, ())
    }

    /// Tells every key that nothing asked for. Call it when all keys were asked for.
    pub(super) fn finish(self) {
        let asked = self.asked.borrow();
        for (key, _) in self.entries() {
            let name = key.get_ref().as_ref();
            if asked.contains(&name) {
                continue;
            }
            if self.paper.is_full() {
                return;
            }
            let place = if self.shown.is_empty() {
                "at the top of the file".to_owned()
            } else {
                format!("in {}", self.shown)
            };
            let mut known: Vec<&str> = asked.clone();
            known.sort_unstable();
            known.dedup();
            let fault = self
                .paper
                .fault_at(
                    key.span().start,
                    &self.path_of(name),
                    format!("there is no key \"{name}\" {place}"),
                )
                .found(name)
                .choices(known.iter().copied());
            let fault = match nearest(name, known.iter().copied()) {
                Some(near) => fault.advice(format!("did you mean \"{near}\"?")),
                None => fault.advice("remove it, or move it to the table that it belongs to"),
            };
            self.paper.tell(key.span().start, fault);
        }
    }
}
