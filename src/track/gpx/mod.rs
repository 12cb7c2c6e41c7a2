//! Reads GPX 1.0 and 1.1: tracks and routes as passes, waypoints as named places.
//!
//! Lenient where receivers and exporters are careless and nothing can be misread: extensions and unknown elements anywhere, blanks round numbers,
//! empty elements, a missing or odd version, times without a zone, no namespace or a wrong one, UTF-16 and declared single-byte encodings.
//! Strict where a wrong line or an endless run could follow: document types, deep nesting, numbers that are not finite or have a comma,
//! positions off the earth, two heights in one point, attributes of other namespaces, files that were cut.

mod fields;
mod fix;
mod left_out;
mod names;
mod plain;
mod source;
mod tag;
mod tree;

use crate::reading::Reading;
use crate::text::{Fault, decode};
pub(crate) use source::MOST_POINTS;

/// Reads the bytes of a GPX file; `file` is what faults and remarks call it.
///
/// Memory is one [`crate::reading::Fix`] of 72 bytes a point beside the text itself; nothing of the text is kept.
/// A file with waypoints only is read (its passes are empty); a track without a point is left out and remarked on.
///
/// # Errors
/// Where the file is not GPX, is cut, or holds a value that cannot be a position or a height: line, column, what was found, what was expected, what to do.
pub fn read(bytes: &[u8], file: &str) -> Result<Reading, Fault> {
    let decoded = decode(file, bytes)?;
    tree::read(&decoded.text, file)
}

/// The local name of a text's first element.
pub(crate) fn root(text: &str) -> Option<&str> {
    let mut rest = text.trim_start_matches('\u{feff}').trim_start();
    loop {
        let after = rest.strip_prefix('<')?;
        if after.starts_with(['?', '!']) {
            let end = if after.starts_with("!--") { "-->" } else { ">" };
            rest = after.split_once(end)?.1.trim_start();
            continue;
        }
        let name = after.split(|c: char| c.is_whitespace() || c == '>' || c == '/');
        return name.take(1).next()?.rsplit(':').next();
    }
}
