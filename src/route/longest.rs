//! No pressure pipe is longer than this.

use crate::text::{Fault, Place};

/// No pressure pipe is longer, m. What goes along the line step by step relies on it.
pub(super) const LONGEST_M: f64 = 100_000.0;

/// A slip of a few digits in a station, or a track of the whole journey.
pub(super) fn refuse_too_long(length_m: f64, place: Place) -> Result<(), Fault> {
    if length_m <= LONGEST_M {
        return Ok(());
    }
    let told = |m: f64| format!("{:.0} km ({:.0} miles)", m / 1000.0, m / 1609.344);
    Err(
        Fault::new(place, "the line is longer than any pressure pipe")
            .found(told(length_m))
            .expected(format!("at most {}", told(LONGEST_M)))
            .advice("look for a slip in the stations, or give only the track along the pipe"),
    )
}
