//! A value of the site file as TOML writes it.

use super::print::quoted;
use crate::site::KeyForm;

/// What stands behind a key.
#[derive(Debug, Clone, PartialEq)]
pub enum Literal {
    /// A text, a number, a word, a day: as it stands, without quotes.
    One(String),
    /// A list of them.
    List(Vec<String>),
    /// Something else: it is shown and left alone.
    Other(String),
}

/// A value as TOML writes it. What does not fit the key's form is put in quotes, so that the reader tells it and not the grammar.
pub(super) fn written(value: &Literal, form: Option<&KeyForm>) -> String {
    match (value, form) {
        (Literal::Other(raw), _) => raw.clone(),
        (Literal::List(all), Some(KeyForm::Shares)) => shares(all),
        (Literal::One(text), Some(KeyForm::Shares)) => shares(std::slice::from_ref(text)),
        (Literal::List(all), _) => {
            let all: Vec<String> = all.iter().map(|v| quoted(v)).collect();
            format!("[{}]", all.join(", "))
        }
        (Literal::One(text), Some(KeyForm::Texts)) => format!("[{}]", quoted(text)),
        (Literal::One(text), Some(form)) if is_bare(text.trim(), form) => text.trim().to_owned(),
        (Literal::One(text), _) => quoted(text),
    }
}

/// Rows of a name and its share as a table in one line.
fn shares(rows: &[String]) -> String {
    let row = |row: &String| {
        let (name, share) = row.rsplit_once('=').unwrap_or((row, ""));
        let share = share.trim();
        let is_bare = is_bare(share, &KeyForm::Number);
        let share = if is_bare {
            share.to_owned()
        } else {
            quoted(share)
        };
        format!("{} = {share}", quoted(name.trim()))
    };
    let rows: Vec<String> = rows.iter().map(row).collect();
    format!("{{ {} }}", rows.join(", "))
}

/// Whether a text stands without quotes: it is a number, a flag or a day by the grammar too.
fn is_bare(text: &str, form: &KeyForm) -> bool {
    let parses = || toml::from_str::<toml::Table>(&format!("a = {text}"));
    let value = || parses().ok().filter(|t| t.len() == 1)?.remove("a");
    !text.contains(['\n', '#'])
        && match form {
            KeyForm::Number => matches!(
                value(),
                Some(toml::Value::Integer(_) | toml::Value::Float(_))
            ),
            KeyForm::Count => matches!(value(), Some(toml::Value::Integer(_))),
            KeyForm::Flag => matches!(value(), Some(toml::Value::Boolean(_))),
            KeyForm::Day => matches!(value(), Some(toml::Value::Datetime(_))),
            _ => false,
        }
}
