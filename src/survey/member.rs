//! A file of an archive, and what is known of a file before it is read.

use crate::reading::{Method, ReadOptions};

/// A file of an archive.
pub(super) struct Member {
    pub(super) name: String,
    pub(super) bytes: Vec<u8>,
}

/// What is known of a file before it is read.
#[derive(Clone, Copy)]
pub(super) struct OpenedFile<'a> {
    /// What faults and remarks call it.
    pub(super) file: &'a str,
    /// What the user says it is.
    pub(super) kind: Option<Method>,
    pub(super) options: &'a ReadOptions,
    /// How many archives it lies in.
    pub(super) depth: usize,
}

impl<'a> OpenedFile<'a> {
    /// What is known of a file inside it.
    pub(super) fn inside(self, file: &'a str) -> Self {
        let depth = self.depth + 1;
        Self {
            file,
            depth,
            ..self
        }
    }
}
