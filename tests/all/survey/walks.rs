//! Walks with a receiver to a route.
