//! The march along the characteristics.
