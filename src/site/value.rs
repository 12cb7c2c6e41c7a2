//! The values of a table by their types: a text, a quantity with its unit, a number, a word, a list.

use super::Located;
use super::bounds::{self, Bounds};
use super::key::KeyForm;
use super::section::{Section, SpannedValue};
use crate::text::{Fault, Place, nearest};
use crate::unit::{Misread, QuantityKind, parse};
use toml::de::DeValue;

impl<'t> Section<'_, 't> {
    pub(super) fn wrong_type(
        &self,
        key: &str,
        value: &SpannedValue<'_>,
        expected: &str,
        advice: &str,
    ) {
        let fault = self
            .paper
            .fault_at(
                value.span().start,
                &self.path_of(key),
                format!("\"{key}\" is not {expected}"),
            )
            .found(format!(
                "{} {}",
                type_word(value.get_ref()),
                self.paper.raw(&value.span())
            ))
            .expected(expected)
            .advice(advice);
        self.paper.tell(value.span().start, fault);
    }

    /// A text.
    pub(super) fn text(&self, key: &'static str) -> Option<Located<String>> {
        self.hear(key, KeyForm::Text, None);
        let value = self.value(key)?;
        self.as_text(key, value)
    }

    /// A value that must be a text with something in it.
    pub(super) fn as_text(&self, key: &str, value: &SpannedValue<'_>) -> Option<Located<String>> {
        match value.get_ref() {
            DeValue::String(text) if text.trim().is_empty() => {
                self.wrong_type(
                    key,
                    value,
                    "a text that is not empty",
                    "fill it in, or remove the key",
                );
                None
            }
            DeValue::String(text) => Some(self.paper.said(
                &value.span(),
                &self.path_of(key),
                text.trim().to_owned(),
            )),
            _ => {
                self.wrong_type(key, value, "a text in quotes", "put it in quotes");
                None
            }
        }
    }

    /// A list of texts.
    pub(super) fn texts(&self, key: &'static str) -> Vec<Located<String>> {
        self.list(key)
            .into_iter()
            .filter_map(|v| self.as_text(key, v))
            .collect()
    }

    /// A list of texts exactly as they stand: names of files may begin or end with a blank.
    pub(super) fn untrimmed(&self, key: &'static str) -> Vec<Located<String>> {
        self.list(key)
            .into_iter()
            .filter_map(|v| {
                let said = self.as_text(key, v)?;
                let whole = v.get_ref().as_str().unwrap_or("").to_owned();
                Some(said.map(|_| whole))
            })
            .collect()
    }

    /// The values of a list.
    pub(super) fn list(&self, key: &'static str) -> Vec<&'t SpannedValue<'t>> {
        self.hear(key, KeyForm::Texts, None);
        let Some(value) = self.value(key) else {
            return Vec::new();
        };
        match value.get_ref() {
            DeValue::Array(values) => self.counted(key, key, values).collect(),
            _ => {
                self.wrong_type(
                    key,
                    value,
                    "a list",
                    "put it in square brackets: [\"...\", \"...\"]",
                );
                Vec::new()
            }
        }
    }

    /// A quantity with its unit, in SI.
    pub(super) fn quantity(
        &self,
        key: &'static str,
        kind: QuantityKind,
        bounds: Bounds,
    ) -> Option<f64> {
        self.hear(key, KeyForm::Quantity(kind), Some(bounds.words()));
        let value = self.value(key)?;
        self.as_quantity(key, value, kind, bounds)
    }

    /// A value that must be a quantity with its unit.
    pub(super) fn as_quantity(
        &self,
        key: &str,
        value: &SpannedValue<'_>,
        kind: QuantityKind,
        bounds: Bounds,
    ) -> Option<f64> {
        let raw = self.paper.raw(&value.span());
        let misread = match value.get_ref() {
            DeValue::String(text) => match parse(kind, text) {
                Ok(si) => return self.within(key, value, si, bounds),
                Err(misread) => misread,
            },
            DeValue::Integer(_) | DeValue::Float(_) => Misread::bare(kind, &raw),
            _ => {
                self.wrong_type(
                    key,
                    value,
                    &format!("{} in quotes with its unit", kind.noun()),
                    &format!("write for example \"{}\"", kind.example()),
                );
                return None;
            }
        };
        let mut fault = misread.at(Place::default());
        fault.text = format!("{key}: {}", fault.text).into();
        let placed = self
            .paper
            .fault_at(value.span().start, &self.path_of(key), "");
        fault.place = placed.place;
        fault.source_line = placed.source_line;
        self.paper.tell(value.span().start, fault);
        None
    }

    /// A plain number.
    pub(super) fn number(&self, key: &'static str, bounds: Bounds) -> Option<f64> {
        self.hear(key, KeyForm::Number, Some(bounds.words()));
        let value = self.value(key)?;
        self.as_number(key, value, bounds)
    }

    /// A value that must be a plain number.
    pub(super) fn as_number(
        &self,
        key: &str,
        value: &SpannedValue<'_>,
        bounds: Bounds,
    ) -> Option<f64> {
        let digits = match value.get_ref() {
            DeValue::Integer(i) if i.radix() == 10 => i.as_str().replace('_', ""),
            DeValue::Float(f) => f.as_str().replace('_', ""),
            _ => {
                self.wrong_type(
                    key,
                    value,
                    "a number without quotes",
                    "write the number only",
                );
                return None;
            }
        };
        match digits.parse::<f64>() {
            Ok(number) if number.is_finite() => self.within(key, value, number, bounds),
            _ => {
                self.wrong_type(
                    key,
                    value,
                    "a finite number",
                    "remove the key if the value is not known",
                );
                None
            }
        }
    }

    /// A number that counts.
    pub(super) fn count(&self, key: &'static str, most: usize) -> Option<usize> {
        self.hear(key, KeyForm::Count, None);
        let value = self.value(key)?;
        let read = match value.get_ref() {
            DeValue::Integer(i) if i.radix() == 10 => {
                i.as_str().replace('_', "").parse::<usize>().ok()
            }
            _ => None,
        };
        match read {
            Some(n) if (1..=most).contains(&n) => Some(n),
            _ => {
                self.wrong_type(
                    key,
                    value,
                    &format!("a whole number from 1 to {most}"),
                    "write the number without quotes",
                );
                None
            }
        }
    }

    /// A share for each name that the user gave in a table of its own, in the order of the file.
    pub(super) fn shares(&self, key: &'static str) -> Vec<(Located<String>, f64)> {
        self.hear(key, KeyForm::Shares, Some(bounds::SHARE.words()));
        if self.paper.listens() {
            return Vec::new();
        }
        let named = self.table(key).into_iter().flat_map(|below| {
            let all = below.entries().into_iter();
            all.filter_map(|(name, value)| {
                let share = self.as_number(key, value, bounds::SHARE)?;
                let said = name.get_ref().trim().to_owned();
                Some((
                    self.paper.said(&name.span(), &self.path_of(key), said),
                    share,
                ))
            })
            .collect::<Vec<_>>()
        });
        named.collect()
    }

    fn within(
        &self,
        key: &str,
        value: &SpannedValue<'_>,
        number: f64,
        bounds: Bounds,
    ) -> Option<f64> {
        if bounds.hold(number) {
            return Some(number);
        }
        let fault = self
            .paper
            .fault_at(
                value.span().start,
                &self.path_of(key),
                format!("\"{key}\" must be {bounds}"),
            )
            .found(self.paper.raw(&value.span()))
            .expected(format!("{bounds}"))
            .advice("check the value and its unit");
        self.paper.tell(value.span().start, fault);
        None
    }

    /// True or false.
    pub(super) fn flag(&self, key: &'static str) -> Option<bool> {
        self.hear(key, KeyForm::Flag, None);
        let value = self.value(key)?;
        if let DeValue::Boolean(flag) = value.get_ref() {
            return Some(*flag);
        }
        self.wrong_type(
            key,
            value,
            "true or false",
            "write true or false without quotes",
        );
        None
    }

    /// What one of a list of words means.
    pub(super) fn choice<T: Copy>(
        &self,
        key: &'static str,
        choices: &[(&'static str, T)],
    ) -> Option<T> {
        self.word(key, choices).map(|said| said.value)
    }

    /// The same with the place where it was said.
    pub(super) fn word<T: Copy>(
        &self,
        key: &'static str,
        choices: &[(&'static str, T)],
    ) -> Option<Located<T>> {
        self.hear(key, KeyForm::words(choices), None);
        let said = self.text(key)?;
        match one_of(&said, key, choices) {
            Ok(choice) => Some(said.with(choice)),
            Err(fault) => {
                self.paper.tell(self.byte_of(key), fault);
                None
            }
        }
    }
}

/// What a word means among those that a key or an option may have.
pub(crate) fn one_of<T: Copy>(
    said: &Located<String>,
    key: &str,
    choices: &[(&'static str, T)],
) -> Result<T, Fault> {
    let plain = |w: &str| w.to_lowercase().replace(['_', '-'], " ");
    let wanted = plain(&said.value);
    if let Some((_, choice)) = choices.iter().find(|(word, _)| plain(word) == wanted) {
        return Ok(*choice);
    }
    let words: Vec<&str> = choices.iter().map(|(word, _)| *word).collect();
    let fault = said
        .fault(format!("\"{}\" is not a value of \"{key}\"", said.value))
        .found(&said.value)
        .choices(words.iter().copied());
    Err(match nearest(&said.value, words) {
        Some(near) => fault.advice(format!("did you mean \"{near}\"?")),
        None => fault.advice("use one of these values"),
    })
}

fn type_word(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "the text",
        DeValue::Integer(_) | DeValue::Float(_) => "the number",
        DeValue::Boolean(_) => "the word",
        DeValue::Datetime(_) => "the date",
        DeValue::Array(_) => "the list",
        DeValue::Table(_) => "a table",
    }
}
