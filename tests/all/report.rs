//! Whole-program tests: report.
