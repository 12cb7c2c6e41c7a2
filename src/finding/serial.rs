//! How figures are written for programs where their name or unit there is another.

use serde::Serializer;
use serde::ser::SerializeSeq as _;
use std::fmt::Display;

/// An angle in degrees.
pub(super) fn degrees<S: Serializer>(rad: &f64, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_f64(rad.to_degrees())
}

/// A grain in millimetres.
pub(super) fn millimetres<S: Serializer>(m: &f64, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_f64(1e3 * m)
}

/// What is told in sentences, in the user's units: the report fills it in.
pub(super) fn sentence<T, S: Serializer>(_: &T, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_unit()
}

/// States and the like, by what they are called.
pub(super) fn called<T: Display, S: Serializer>(all: &[T], to: S) -> Result<S::Ok, S::Error> {
    let mut out = to.serialize_seq(Some(all.len()))?;
    for one in all {
        out.serialize_element(&one.to_string())?;
    }
    out.end()
}
