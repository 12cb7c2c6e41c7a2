//! Everything to set out on the hill, numbered, with positions.
