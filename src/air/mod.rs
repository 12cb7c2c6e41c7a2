//! Where air stays, whether the line starts, vents, drains, filling and emptying.
