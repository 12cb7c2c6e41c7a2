//! Whole-program tests: hostile.
