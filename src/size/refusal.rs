//! Why there are no sizes at all.

/// Why there are no sizes at all.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum NoSizes {
    /// No pressure pipe of the catalogue fits the words.
    NoSuchPipe(String),
    /// The declared pipe is not in the catalogue, and no words were given.
    OwnPipe,
    /// The line has no pipe or no turbine.
    NothingToSize,
}
