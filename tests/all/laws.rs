//! Whole-program tests: laws.
