//! The pages that say how a figure is worked out, embedded.
