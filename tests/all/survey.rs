//! Whole-program tests: survey.
