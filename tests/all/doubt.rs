//! Whole-program tests: doubt.
