//! What the water carries: what passes the screen, and whether it can block what lies behind.

mod passes;

pub use passes::{BRIDGES, Passage, Passes, passes};
