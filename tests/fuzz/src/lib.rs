//! Fuzzing. What is done to bytes that mean harm stands as plain functions in tests/all/bent: one a reader, and one for whole site folders.
//!
//! The same functions serve three drivers: the coverage-guided targets in this crate (they need a nightly toolchain),
//! `unguided` which bends the corpus by itself on any toolchain, and the tests in tests/all/bent.rs.

/// Bends text and bytes.
#[path = "../../all/bent/bend.rs"]
pub mod bend;
/// The committed corpus.
#[path = "../../all/bent/corpus.rs"]
pub mod corpus;
/// Whole site folders.
#[path = "../../all/bent/folder.rs"]
pub mod folder;
/// The readers.
#[path = "../../all/bent/readers.rs"]
pub mod readers;
/// Every target by name.
#[path = "../../all/bent/targets.rs"]
pub mod targets;
