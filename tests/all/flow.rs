//! Whole-program tests: flow.
