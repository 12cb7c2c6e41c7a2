//! A file of an archive.

/// A file of an archive.
pub(super) struct Member {
    pub(super) name: String,
    pub(super) bytes: Vec<u8>,
}
