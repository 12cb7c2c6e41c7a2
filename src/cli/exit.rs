use crate::text::Fault;
use crate::unit::Units;
use std::io::{self, Write};
use std::process::ExitCode;

/// Why a command could not do its work, and the status that tells so.
#[derive(Debug)]
pub enum Trouble {
    /// The input or the call is wrong: status 2.
    Input(Vec<Fault>),
    /// Anything else: status 1.
    Other(String),
    /// Whoever read our output went away: no message, status 0 as for any cut pipe.
    Unread,
}

impl Trouble {
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
    pub fn tell(self) -> ExitCode {
        let mut err = io::stderr().lock();
        match self {
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

impl From<Fault> for Trouble {
    fn from(fault: Fault) -> Self {
        Self::Input(vec![fault])
    }
}

impl From<Vec<Fault>> for Trouble {
    fn from(faults: Vec<Fault>) -> Self {
        Self::Input(faults)
    }
}

impl From<io::Error> for Trouble {
    fn from(error: io::Error) -> Self {
        if error.kind() == io::ErrorKind::BrokenPipe {
            Self::Unread
        } else {
            Self::Other(format!(
                "standard output cannot be written\n  found: {error}\n  do: free some room where it goes to, or let it go elsewhere"
            ))
        }
    }
}

/// Writes text to standard output.
///
/// # Errors
/// What the system says; a reader that went away is no error.
pub fn print(text: &str) -> Result<(), Trouble> {
    let mut out = io::stdout().lock();
    out.write_all(text.as_bytes())?;
    if !text.ends_with('\n') {
        out.write_all(b"\n")?;
    }
    Ok(out.flush()?)
}
