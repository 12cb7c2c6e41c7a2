//! Whole-program tests: program.
