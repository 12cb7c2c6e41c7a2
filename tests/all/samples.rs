//! Whole-program tests: samples.
