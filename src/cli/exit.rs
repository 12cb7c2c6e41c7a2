use super::arguments::FaultsWord;
use crate::text::{Fault, Faults, Place};
use crate::unit::Units;
use serde_json::{Map, Value};
use std::io::{self, Write};
use std::process::ExitCode;

/// Why a command could not do its work, and the status that tells so.
#[derive(Debug)]
#[non_exhaustive]
pub enum CliError {
    /// The input or the call is wrong: status 2.
    Input(Faults),
    /// Anything else: status 1.
    Other(String),
    /// Whoever read our output went away: no message, status 0 as for any cut pipe.
    Unread,
}

impl CliError {
    /// Something else than the input went wrong.
    pub fn other(text: impl Into<String>) -> Self {
        Self::Other(text.into())
    }

    /// The same with the lengths of its faults in the user's units.
    #[must_use]
    pub fn in_units(self, units: Units) -> Self {
        match self {
            Self::Input(faults) => {
                Self::Input(faults.into_iter().map(|f| units.fault(f)).collect())
            }
            other => other,
        }
    }

    /// Says it on standard error and gives the status.
    pub fn tell(self, form: FaultsWord) -> ExitCode {
        let mut err = io::stderr().lock();
        match self {
            Self::Input(faults) if form == FaultsWord::Json => {
                let all: Vec<Value> = faults.iter().map(fault_json).collect();
                let _ = writeln!(err, "{}", Value::from(all));
                ExitCode::from(2)
            }
            Self::Other(text) if form == FaultsWord::Json => {
                let all = [fault_json(&Fault::new(Place::default(), text))];
                let _ = writeln!(err, "{}", Value::from(all.as_slice()));
                ExitCode::from(1)
            }
            Self::Input(faults) => {
                for fault in faults {
                    let _ = writeln!(err, "{fault}");
                }
                ExitCode::from(2)
            }
            Self::Other(text) => {
                let _ = writeln!(err, "{text}");
                ExitCode::from(1)
            }
            Self::Unread => ExitCode::SUCCESS,
        }
    }
}

/// A fault as other programs read it; what is not known is left out.
pub fn fault_json(fault: &Fault) -> Value {
    let place = &fault.place;
    let mut at = Map::new();
    let put = |map: &mut Map<String, Value>, key: &str, value: Option<Value>| {
        if let Some(value) = value {
            map.insert(key.to_owned(), value);
        }
    };
    let file = Some(&place.file).filter(|f| !f.is_empty());
    put(&mut at, "file", file.map(|f| f.as_str().into()));
    put(&mut at, "line", place.line.map(Value::from));
    put(&mut at, "column", place.column.map(Value::from));
    put(&mut at, "key", place.key.as_deref().map(Value::from));
    let mut out = Map::new();
    put(&mut out, "place", Some(at.into()));
    put(&mut out, "text", Some((*fault.text).into()));
    for (key, said) in [
        ("found", &fault.found),
        ("expected", &fault.expected),
        ("do", &fault.advice),
    ] {
        put(&mut out, key, said.as_ref().map(|s| (**s).into()));
    }
    put(&mut out, "asks", fault.asks.map(Value::from));
    let choices = Some(&fault.choices).filter(|c| !c.is_empty());
    put(&mut out, "choices", choices.map(|c| c.as_slice().into()));
    let line = fault.source_line.as_deref();
    put(&mut out, "line", line.map(Value::from));
    out.into()
}

/// Tells a call that cannot be understood, in the form it asks for as far as it can be read.
pub fn wrong_call(error: &clap::Error) {
    let words: Vec<String> = std::env::args().collect();
    let asks = words.windows(2).any(|w| w == ["--faults", "json"]);
    if asks || words.iter().any(|w| w == "--faults=json") {
        let text = error.render().to_string();
        let first = text
            .lines()
            .next()
            .unwrap_or("")
            .trim_start_matches("error: ");
        let all = [fault_json(&Fault::new(Place::default(), first))];
        let _ = writeln!(io::stderr().lock(), "{}", Value::from(all.as_slice()));
    } else {
        let _ = error.print();
    }
}

impl From<Fault> for CliError {
    fn from(fault: Fault) -> Self {
        Self::Input(fault.into())
    }
}

impl From<Faults> for CliError {
    fn from(faults: Faults) -> Self {
        Self::Input(faults)
    }
}

impl From<io::Error> for CliError {
    fn from(error: io::Error) -> Self {
        if error.kind() == io::ErrorKind::BrokenPipe {
            Self::Unread
        } else {
            Self::Other(format!(
                "standard output cannot be written\n  found: {error}\n  do: free some space there, or send the output to another place"
            ))
        }
    }
}

/// Writes text to standard output.
///
/// # Errors
/// What the system says; a reader that went away is no error.
pub fn print(text: &str) -> Result<(), CliError> {
    let mut out = io::stdout().lock();
    out.write_all(text.as_bytes())?;
    if !text.ends_with('\n') {
        out.write_all(b"\n")?;
    }
    Ok(out.flush()?)
}
