//! What a form for the site file is made from: every key with its words, and what a site file says, key by key.

use super::CliError;
use super::arguments::{CAUTION, FieldsArguments};
use super::exit::print;
use crate::form;
use crate::form::{Literal as Said, SiteChange, Table};
use crate::json::printed;
use crate::site::{Key, KeyForm};
use crate::survey::Bundle;
use crate::text::{Fault, FileExpectation, Place, decode, read_bytes};
use serde_json::{Map, Value, json};
use std::path::Path;
use std::process::ExitCode;

/// Prints the keys, or what a site file says once it was changed.
pub fn run(arguments: &FieldsArguments) -> Result<ExitCode, CliError> {
    let Some(site) = &arguments.site else {
        print(&printed(&known()))?;
        return Ok(ExitCode::SUCCESS);
    };
    let (file, text) = site_text(site)?;
    let changes = match &arguments.changes {
        Some(path) => changes(path)?,
        None => Vec::new(),
    };
    let text = form::changed(&file, &text, &changes)?;
    let tables: Vec<Value> = form::given(&file, &text)?.iter().map(table).collect();
    print(&printed(
        &json!({"site": file, "text": text, "tables": tables}),
    ))?;
    Ok(ExitCode::SUCCESS)
}

/// Every table with its keys, in the order in which the reader asks.
fn known() -> Value {
    let said = form::tables();
    let mut tables: Vec<Map<String, Value>> = Vec::new();
    for key in form::keys() {
        let name = Value::from(key.table.as_str());
        if !tables.iter().any(|t| t.get("table") == Some(&name)) {
            let help = said.iter().find(|t| t.0 == key.table).map(|t| t.1);
            let head = json!({"table": name, "many": key.many, "help": help, "keys": []});
            tables.extend(head.as_object().cloned());
        }
        let own = tables.iter_mut().find(|t| t.get("table") == Some(&name));
        if let Some(Value::Array(keys)) = own.and_then(|t| t.get_mut("keys")) {
            keys.push(field(&key));
        }
    }
    json!({
        "program": {"name": env!("CARGO_PKG_NAME"), "version": env!("CARGO_PKG_VERSION")},
        "caution": CAUTION,
        "tables": tables,
    })
}

fn field(key: &Key) -> Value {
    let (form, words) = match &key.form {
        KeyForm::Text => ("text", None),
        KeyForm::Texts => ("texts", None),
        KeyForm::Shares => ("shares", None),
        KeyForm::Quantity(_) => ("quantity", None),
        KeyForm::Number => ("number", None),
        KeyForm::Count => ("count", None),
        KeyForm::Flag => ("flag", None),
        KeyForm::Day => ("day", None),
        KeyForm::Place => ("place", None),
        KeyForm::Words(words) => ("words", Some(words)),
    };
    let what = match &key.form {
        KeyForm::Quantity(kind) => Some(kind.noun()),
        _ => None,
    };
    json!({
        "key": key.key, "form": form, "words": words, "what": what, "limits": key.limits,
        "help": key.help, "example": key.example, "first": key.first,
    })
}

fn table(table: &Table) -> Value {
    let keys: Vec<Value> = table
        .keys
        .iter()
        .map(|k| {
            let (value, is_other) = match &k.value {
                Said::One(text) => (json!(text), false),
                Said::List(all) => (json!(all), false),
                Said::Other(raw) => (json!(raw), true),
            };
            json!({"key": k.key, "value": value, "other": is_other, "line": k.line})
        })
        .collect();
    json!({"table": table.table, "index": table.index, "line": table.line, "keys": keys})
}

/// What is read here is small.
const SMALL: FileExpectation<'_> = FileExpectation {
    what: "a site file in TOML, or a list of changes in JSON",
    largest_bytes: 1_000_000,
    advice: "check the name and the folder",
};

/// The name and the text of a site file, which may lie in a zip.
fn site_text(path: &Path) -> Result<(String, String), Fault> {
    let file = path.display().to_string();
    if !super::check::has_ending(path, "zip") {
        return Ok((file, text_of(path)?));
    }
    let bundle = Bundle::read(&file, &read_bytes(path, &super::check::ZIP)?)?;
    let name = bundle.only(".toml")?;
    let text = decode(&bundle.within(name), bundle.get(name)?)?
        .text
        .to_string();
    Ok((name.to_owned(), text))
}

fn text_of(path: &Path) -> Result<String, Fault> {
    let bytes = read_bytes(path, &SMALL)?;
    Ok(decode(&path.display().to_string(), &bytes)?
        .text
        .to_string())
}

fn changes(path: &Path) -> Result<Vec<SiteChange>, Fault> {
    let fault = |found: String| {
        Fault::new(
            Place::file(path.display().to_string()),
            "these changes cannot be read",
        )
        .found(found)
        .expected(
            "a JSON list of {table, index, key, value}, {table, add} or {table, index, remove}",
        )
    };
    let list: Vec<Value> =
        serde_json::from_str(&text_of(path)?).map_err(|e| fault(e.to_string()))?;
    list.iter()
        .map(|one| change(one).ok_or_else(|| fault(one.to_string())))
        .collect()
}

fn change(one: &Value) -> Option<SiteChange> {
    let table = one.get("table")?.as_str()?.to_owned();
    let index = one.get("index").and_then(Value::as_u64).unwrap_or(0);
    let index = usize::try_from(index).ok()?;
    let is = |key: &str| one.get(key).and_then(Value::as_bool) == Some(true);
    if is("add") {
        return Some(SiteChange::Add(table));
    }
    if is("remove") {
        return Some(SiteChange::Remove(table, index));
    }
    let key = one.get("key")?.as_str()?.to_owned();
    if key.is_empty() || !key.bytes().all(|b| b.is_ascii_lowercase() || b == b'_') {
        return None;
    }
    let value = match one.get("value")? {
        Value::Null => None,
        Value::String(text) => Some(Said::One(text.clone())),
        Value::Array(all) => {
            let texts = all.iter().map(|v| v.as_str().map(str::to_owned));
            Some(Said::List(texts.collect::<Option<_>>()?))
        }
        other => Some(Said::One(other.to_string())),
    };
    Some(SiteChange::Set(table, index, key, value))
}
