//! Any bytes as a site file: read or refused with a place, never a panic.
#![no_main]

use libfuzzer_sys::fuzz_target;
use steadyfall::{site::read_text, text::decode};

fuzz_target!(|bytes: &[u8]| {
    let Ok(decoded) = decode("site.toml", bytes) else {
        return;
    };
    if let Err(faults) = read_text("site.toml", &decoded.text) {
        assert!(!faults.is_empty());
        assert!(faults.iter().all(|f| f.place.line.is_some()));
    }
});
