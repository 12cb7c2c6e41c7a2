//! Any text as a quantity of any kind: a finite figure or a refusal.
#![no_main]

use libfuzzer_sys::fuzz_target;
use steadyfall::unit::{Kind, parse};

fuzz_target!(|text: &str| {
    for kind in Kind::ALL {
        if let Ok(value) = parse(kind, text) {
            assert!(value.is_finite());
        }
    }
});
