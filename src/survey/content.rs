//! What a file is, told from its bytes and never from its name.

use super::foreign::{self, Foreign};
use crate::track::nmea;

/// What bytes are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Content {
    Gpx,
    Kml,
    Tcx,
    Fit,
    Nmea,
    Json,
    Gzip,
    Zip,
    /// Text of cells, or nothing that is known.
    Sheet,
    Foreign(Foreign),
}

/// Tells what bytes are.
pub(super) fn of(bytes: &[u8]) -> Content {
    if bytes.get(8..12) == Some(b".FIT") && matches!(bytes.first(), Some(12 | 14)) {
        return Content::Fit;
    }
    if bytes.starts_with(b"\x1f\x8b") {
        return Content::Gzip;
    }
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06") {
        return Content::Zip;
    }
    if let Some(foreign) = foreign::by_marks(bytes) {
        return Content::Foreign(foreign);
    }
    match first_sign(bytes) {
        Some(b'<') => by_root(bytes),
        Some(b'{') => Content::Json,
        _ if nmea::looks_like(bytes) => Content::Nmea,
        _ => Content::Sheet,
    }
}

/// The first byte behind a byte order mark and blanks.
fn first_sign(bytes: &[u8]) -> Option<u8> {
    let mut start = bytes.iter().take(256);
    start
        .find(|b| !b.is_ascii_whitespace() && !matches!(b, 0xef | 0xbb | 0xbf | 0xfe | 0xff | 0))
        .copied()
}

/// What XML is by its first element; what is not known is told by the reader of GPX.
fn by_root(bytes: &[u8]) -> Content {
    let head = bytes.get(..bytes.len().min(8_192)).unwrap_or_default();
    // The name of an element is plain in every encoding that is read, wide ones but for their zeros.
    let head: String = head
        .iter()
        .filter(|b| b.is_ascii() && **b != 0)
        .map(|b| char::from(*b))
        .collect();
    if head
        .trim_start()
        .get(..14)
        .is_some_and(|h| h.eq_ignore_ascii_case("<!DOCTYPE html"))
    {
        return foreign::by_root("html").map_or(Content::Gpx, Content::Foreign);
    }
    match crate::track::gpx::root(&head) {
        Some("kml") => Content::Kml,
        Some("TrainingCenterDatabase") => Content::Tcx,
        Some(other) => foreign::by_root(other).map_or(Content::Gpx, Content::Foreign),
        None => Content::Gpx,
    }
}
