//! Any bytes as a receiver's file: read or refused with a place; what is read is on the earth and finite.
#![no_main]

use libfuzzer_sys::fuzz_target;
use steadyfall::survey::{Data, gpx::read};

fuzz_target!(|bytes: &[u8]| {
    match read(bytes, "walk.gpx") {
        Ok(reading) => {
            let Data::Walks(passes) = reading.data else {
                panic!("a receiver's file gives walks");
            };
            for fix in passes.iter().flat_map(|p| p.segments.iter().flatten()) {
                assert!(fix.lat_deg.abs() <= 90.0 && fix.lon_deg.abs() <= 180.0);
                assert!(fix.elevation_m.is_none_or(f64::is_finite));
                assert!(fix.time_s.is_none_or(f64::is_finite));
            }
        }
        Err(fault) => assert!(fault.place.line.is_some()),
    }
});
