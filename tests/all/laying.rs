//! Whole-program tests: laying.
