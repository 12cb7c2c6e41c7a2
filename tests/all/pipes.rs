//! Whole-program tests: pipes.
