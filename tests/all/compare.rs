//! Whole-program tests: compare.
