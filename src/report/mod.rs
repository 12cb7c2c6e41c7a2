//! Words and units in one table; terminal, page, JSON, CSV, GPX, GeoJSON; the folder, all or nothing.

pub mod folder;
