use super::{Method, ReadOptions, Reading};
use crate::text::{Fault, Place};
use std::path::Path;

/// Longest file that is read, bytes: a level book of a thousand kilometres, or two million fixes of a receiver.
const LONGEST_BYTES: u64 = 512 << 20;

/// Reads one survey file; what kind it is is told from its content unless `kind` says so.
///
/// # Errors
/// Where the file cannot be read, or is no survey of its kind: the place, what was found, what was expected and what to do.
pub fn read(path: &Path, kind: Option<Method>, options: &ReadOptions) -> Result<Reading, Fault> {
    let file = path.display().to_string();
    let fault = |what: String| {
        Fault::new(Place::file(&file), what).advice("give the path of a survey file: GPX or CSV")
    };
    let size = std::fs::metadata(path)
        .map_err(|e| fault(format!("the file cannot be opened: {e}")))?
        .len();
    if size > LONGEST_BYTES {
        return Err(fault(format!("the file is too large: {size} bytes")));
    }
    let bytes = std::fs::read(path).map_err(|e| fault(format!("the file cannot be read: {e}")))?;
    read_bytes(&bytes, &file, kind, options)
}

/// Reads a survey from bytes, as [`read`] does; `file` is only what faults and remarks call it.
///
/// # Errors
/// As [`read`].
pub fn read_bytes(
    bytes: &[u8],
    file: &str,
    kind: Option<Method>,
    options: &ReadOptions,
) -> Result<Reading, Fault> {
    let _ = (bytes, kind, options);
    Err(Fault::new(
        Place::file(file),
        "survey sheets cannot be read yet",
    ))
}
