//! Thrust of water under pressure on bends, ends, reducers and tees, as vectors.

/// A vector: forward, left and up, or east, north and up.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Vector {
    /// Forward, or east.
    pub x: f64,
    /// Left, or north.
    pub y: f64,
    /// Up.
    pub z: f64,
}

impl Vector {
    /// Its length.
    pub fn size(self) -> f64 {
        self.x.hypot(self.y).hypot(self.z)
    }
}
