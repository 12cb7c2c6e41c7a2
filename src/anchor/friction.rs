//! Friction between pipe and ground, on the side that is safe for what is asked.

/// Friction of the pipe on the ground where it must help and nothing is known: wet ground, leaves, a smooth pipe (own caution).
pub const FRICTION_THAT_HELPS: f64 = 0.2;

/// Friction where it harms: what the ground holds against a pipe that must slide (own caution).
pub const FRICTION_THAT_HARMS: f64 = 0.5;
