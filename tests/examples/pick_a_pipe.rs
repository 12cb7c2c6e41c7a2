//! The catalogue alone: rows that some words fit, what they may take, how fast a wave runs in them.

use std::error::Error;
use steadyfall::pipe::wave::{Between, Restraint, wave_speed};
use steadyfall::pipe::{find, search};

/// Lists the 90 mm rows of PE 100 and the wave speed of one of them.
pub fn main() -> Result<(), Box<dyn Error>> {
    for pipe in search("PE100 90") {
        println!(
            "{}: bore {:.1} mm, {:.1} bar",
            pipe.spec,
            1e3 * pipe.inner_diameter_m,
            pipe.rating_pa.unwrap_or(0.0) / 1e5
        );
    }
    let pipe = find("PE100 SDR11 90")?;
    let water = Between {
        coldest_c: 1.0,
        warmest_c: 14.0,
    };
    let band = wave_speed(&pipe, Restraint::Throughout, water);
    println!("wave speed {:.0} to {:.0} m/s", band.low, band.high);
    Ok(())
}
