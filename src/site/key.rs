//! A key of the site file, as it is asked for.

use crate::unit::QuantityKind;

/// What a key takes.
#[derive(Debug, Clone, PartialEq)]
pub enum KeyForm {
    /// Free text.
    Text,
    /// A list of texts.
    Texts,
    /// A share for each of some names that the user gave.
    Shares,
    /// A quantity with its unit.
    Quantity(QuantityKind),
    /// A plain number.
    Number,
    /// A whole number.
    Count,
    /// True or false.
    Flag,
    /// A day.
    Day,
    /// A station, a name, or a position.
    Place,
    /// One of these words.
    Words(Vec<&'static str>),
}

impl KeyForm {
    /// The form of a key that takes one of these words.
    pub(super) fn words<T>(choices: &[(&'static str, T)]) -> Self {
        Self::Words(choices.iter().map(|c| c.0).collect())
    }
}

/// What the reader asked for.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Heard {
    pub(crate) table: String,
    pub(crate) many: bool,
    pub(crate) key: &'static str,
    pub(crate) form: KeyForm,
    pub(crate) limits: Option<&'static str>,
}

/// A key of the site file.
#[derive(Debug, Clone, PartialEq)]
pub struct Key {
    /// The table it stands in: "survey.part"; empty at the top.
    pub table: String,
    /// Whether there may be several of that table.
    pub many: bool,
    /// The key.
    pub key: &'static str,
    /// What it takes.
    pub form: KeyForm,
    /// Within which limits, in words.
    pub limits: Option<&'static str>,
    /// What it is, as the blank file says it.
    pub help: Option<&'static str>,
    /// A value as the blank file has it, without quotes.
    pub example: Option<&'static str>,
    /// Whether it is one of those that matter first.
    pub first: bool,
}
