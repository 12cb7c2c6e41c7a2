//! Whole-program tests: anchor.
