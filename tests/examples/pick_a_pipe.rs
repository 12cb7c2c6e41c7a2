//! The catalogue alone: the lightest row of some words that may take a pressure, and how fast a wave runs in it.

use steadyfall::pipe::wave::{Between, Restraint, wave_speed};
use steadyfall::pipe::{NotOne, find, search};
use steadyfall::prelude::Pipe;

/// The row of some words with the least rating that may take a pressure, Pa.
pub fn lightest(words: &str, pressure_pa: f64) -> Option<&'static Pipe> {
    search(words)
        .into_iter()
        .filter_map(|pipe| Some((pipe.rating_pa?, pipe)))
        .filter(|(rating_pa, _)| *rating_pa >= pressure_pa)
        .min_by(|(a, _), (b, _)| a.total_cmp(b))
        .map(|(_, pipe)| pipe)
}

/// Slowest and fastest wave, m/s, in a buried pipe whose water is between 1 and 14 C; the words must fit one row.
pub fn wave(words: &str) -> Result<(f64, f64), NotOne> {
    let water = Between {
        coldest_c: 1.0,
        warmest_c: 14.0,
    };
    let band = wave_speed(&find(words)?, Restraint::Throughout, water);
    Ok((band.low, band.high))
}

/// Tells both of PE 100 of 90 mm.
pub fn main() -> Result<(), NotOne> {
    if let Some(pipe) = lightest("PE100 90", 9e5) {
        println!("{}: bore {:.1} mm", pipe.spec, 1e3 * pipe.inner_diameter_m);
    }
    let (low, high) = wave("PE100 SDR11 90")?;
    println!("wave speed {low:.0} to {high:.0} m/s");
    Ok(())
}
