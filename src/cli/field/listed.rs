//! A list of words as it is told.

use crate::text::{Fault, FileExpectation, Place, decode, read_bytes};
use serde_json::Value;
use std::path::Path;

/// A list of the page's own, in JSON.
pub(super) fn listed(path: &Path) -> Result<Value, Fault> {
    let wanted = FileExpectation {
        what: "what the page recorded, in JSON",
        largest_bytes: 64 << 20,
        advice: "check the name and the folder",
    };
    let file = path.display().to_string();
    let bytes = read_bytes(path, &wanted)?;
    let text = decode(&file, &bytes)?.text;
    serde_json::from_str(&text).map_err(|e| {
        Fault::new(Place::file(file), "this record cannot be read")
            .found(e.to_string())
            .expected("JSON, as the page writes it")
            .advice("export the record again")
    })
}
