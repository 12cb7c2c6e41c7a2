//! What is done to bytes that mean harm: one plain function a reader, and one for whole site folders.
//!
//! The same functions serve three drivers: the coverage-guided targets beside this folder (they need a nightly toolchain),
//! `src/main.rs` which bends the corpus by itself on any toolchain, and `tests/all/bent.rs` which does so in the gate.

/// Bends text and bytes.
pub mod bend;
/// The committed corpus.
pub mod corpus;
/// Whole site folders.
pub mod folder;
/// The readers.
pub mod readers;

/// A target: the name of its folder in the corpus, and what it does.
pub type Target = (&'static str, fn(&[u8]));

/// Every target. Each panics where its promise is broken.
pub const TARGETS: [Target; 7] = [
    ("unit", readers::unit),
    ("words", readers::words),
    ("sheet", readers::sheet),
    ("site", readers::site),
    ("book", readers::book),
    ("gpx", readers::gpx),
    ("folder", folder::folder),
];
