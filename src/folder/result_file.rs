//! A file of a results folder, and what goes wrong with it.

use crate::text::{Fault, Place};
use std::io;
use std::path::Path;

/// A file of a results folder: its name and its bytes.
pub type ResultFile = (String, Vec<u8>);

/// A file in the folder that the user changed since a run wrote it, and the name under which it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// Its name before.
    pub was: String,
    /// Its name now.
    pub is: String,
}

pub(super) fn fault(path: &Path, what: &str) -> Fault {
    Fault::new(Place::file(path.display().to_string()), what)
}

pub(super) fn failed(path: &Path, what: &str, error: &io::Error) -> Fault {
    fault(path, what)
        .found(error.to_string())
        .advice("free some disk space, or give --out a folder that you can write to")
}
