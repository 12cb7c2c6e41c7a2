//! Whole-program tests: air.
