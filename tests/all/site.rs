//! Whole-program tests: site.
