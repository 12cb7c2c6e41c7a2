//! What a movement of a valve or jet does along the line.
