//! Any bytes as a field book of any kind: read with finite heights and doubts, or refused with a place.
#![no_main]

use libfuzzer_sys::fuzz_target;
use steadyfall::survey::{Data, Method, ReadOptions, read_bytes};

fuzz_target!(|bytes: &[u8]| {
    for kind in [None, Some(Method::Level), Some(Method::Angle), Some(Method::Gauge), Some(Method::Points)] {
        match read_bytes(bytes, "book.csv", kind, &ReadOptions::default()) {
            Err(fault) => assert!(!fault.text.is_empty()),
            Ok(reading) => {
                if let Data::Book(book) = reading.data {
                    assert!(book.points.iter().all(|p| p.height_m.is_none_or(f64::is_finite)));
                    assert!(book.factors.iter().all(|f| f.len() == book.points.len()));
                }
            }
        }
    }
});
