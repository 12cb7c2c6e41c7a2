//! Whole-program tests: regrade.
