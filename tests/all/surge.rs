//! Whole-program tests: surge.
