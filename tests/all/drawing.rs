//! Whole-program tests: drawing.
