//! Thrust, blocks, slopes, heat, floods and supports.
