//! Booked readings to heights with their doubt: level books and legs reduced and closed, nets, loops.

pub mod angle;
pub(crate) mod condition;
pub mod level;
pub mod net;
pub mod traverse;
