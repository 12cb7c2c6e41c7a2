//! Whole-program tests: strength.
