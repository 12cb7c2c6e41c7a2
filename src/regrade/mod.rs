//! The least digging and propping that makes the line fall.
