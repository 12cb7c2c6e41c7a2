//! Two studies: what moved, what it broke.
