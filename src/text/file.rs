use super::{Fault, Place};
use std::fs::{self, File};
use std::io::{ErrorKind, Read};
use std::path::Path;

/// What a file must be to be read whole.
#[derive(Debug, Clone, Copy)]
pub struct FileExpectation<'a> {
    /// What it is: "a site file in TOML".
    pub what: &'a str,
    /// Largest that is read, bytes.
    pub largest_bytes: u64,
    /// What to do where it is not there.
    pub advice: &'a str,
}

/// What is said of a file that is not there.
pub const NO_SUCH_FILE: &str = "there is no such file";

/// The bytes of a file that somebody named.
///
/// # Errors
/// Where it is not there, is no file (a folder, a pipe or a device, which may never end), is larger than wanted, or cannot be read.
pub fn read_bytes(path: &Path, wanted: &FileExpectation<'_>) -> Result<Vec<u8>, Fault> {
    let fault = |text: &str, found: String| {
        Fault::new(Place::file(path.display().to_string()), text)
            .found(found)
            .expected(wanted.what)
            .advice(wanted.advice)
    };
    let unread = |error: std::io::Error| match error.kind() {
        ErrorKind::NotFound => fault(NO_SUCH_FILE, "no file with this name".to_owned()),
        _ => fault("this file cannot be read", error.to_string()),
    };
    let about = fs::metadata(path).map_err(unread)?;
    if !about.is_file() {
        return Err(fault(
            "this is not a file",
            "a folder, a pipe or a device".to_owned(),
        ));
    }
    // A file may grow while it is read; what is beyond the limit is not taken up.
    let mut bytes = Vec::new();
    let limit = wanted.largest_bytes;
    if about.len() <= limit {
        File::open(path)
            .and_then(|file| file.take(limit + 1).read_to_end(&mut bytes))
            .map_err(unread)?;
    }
    let size = about.len().max(bytes.len() as u64);
    if size > limit {
        return Err(fault("this file is too large", format!("{size} bytes"))
            .expected(format!("{} of at most {limit} bytes", wanted.what))
            .advice("copy the data of this pipeline into a separate file"));
    }
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(path: &Path, largest_bytes: u64) -> Result<Vec<u8>, Fault> {
        read_bytes(
            path,
            &FileExpectation {
                what: "a site file in TOML",
                largest_bytes,
                advice: "check the name",
            },
        )
    }

    #[test]
    fn a_limit_is_named_and_what_is_no_file_is_told() {
        let here = Path::new(env!("CARGO_MANIFEST_DIR"));
        let own = here.join("Cargo.toml");
        let whole = read(&own, 1 << 20).unwrap();
        assert!(!whole.is_empty());
        assert_eq!(read(&own, whole.len() as u64).unwrap(), whole);
        let fault = read(&own, whole.len() as u64 - 1).unwrap_err();
        assert!(
            fault
                .to_string()
                .contains(&format!("at most {} bytes", whole.len() - 1))
        );
        assert!(read(here, 1 << 20).unwrap_err().text.contains("not a file"));
        let gone = read(&here.join("no-such-thing"), 9).unwrap_err();
        assert!(gone.text.contains("no such file") && gone.advice.is_some());
    }
}
