//! What no pipe's route is.

use crate::text::{Fault, Place, Sentence};

/// No pressure pipe is longer, m. What goes along the line step by step relies on it.
pub(super) const LONGEST_M: f64 = 100_000.0;

/// Heights that no ground has: the sheet's own were held to it as they were read, and what was made of them is again.
pub(super) fn refuse_no_ground(height_m: &[f64], lowest_m: f64, place: Place) -> Result<(), Fault> {
    let (low, high) = height_m
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), h| {
            (low.min(*h), high.max(*h))
        });
    // Asked this way round, what is no number is refused too.
    if low >= lowest_m && high <= HIGHEST_M {
        return Ok(());
    }
    Err(
        Fault::new(place, "these heights are not possible for ground")
            .found(
                Sentence::default()
                    .length(low, 0)
                    .words(" to ")
                    .length(high, 0),
            )
            .expected(
                Sentence::from("heights from ")
                    .length(lowest_m, 0)
                    .words(" to ")
                    .length(HIGHEST_M, 0),
            )
            .advice("check the unit of the heights. Check the known heights for a mistake"),
    )
}

/// No ground is lower or higher, m. A book in a datum of its own may go as far below it as the highest ground stands over the sea.
pub(super) const LOWEST_M: f64 = -500.0;

pub(super) const HIGHEST_M: f64 = 9_000.0;

/// A slip of a few digits in a station, or a track of the whole journey.
pub(super) fn refuse_too_long(length_m: f64, place: Place) -> Result<(), Fault> {
    if length_m <= LONGEST_M {
        return Ok(());
    }
    let told = |m: f64| format!("{:.0} km ({:.0} miles)", m / 1000.0, m / 1609.344);
    Err(Fault::new(place, "the route is too long for a penstock")
        .found(told(length_m))
        .expected(format!("at most {}", told(LONGEST_M)))
        .advice("check the stations for a mistake, or give only the track along the pipe"))
}
