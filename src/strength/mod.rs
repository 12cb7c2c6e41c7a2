//! Pressure over what the pipe may take, metre by metre; classes by zone; collapse.
