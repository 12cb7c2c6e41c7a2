//! Energy that waits in a filled line: why a test is made with water, never with air.

use crate::numeric::math;

/// Something under pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StoredPressure {
    /// Volume under pressure, m3.
    pub volume_m3: f64,
    /// Gauge pressure, Pa.
    pub pressure_pa: f64,
}

/// Energy that air sets free when it breaks out, J: isentropic down to the air's own pressure, k = 1.4.
///
/// `E = p V / (k - 1) (1 - (pa/p)^((k-1)/k))`, p absolute. Source: thermodynamics of an ideal gas (any text); upper end, nothing is lost on the way.
pub fn of_air_j(pressed: StoredPressure, air_pa: f64) -> f64 {
    const KAPPA: f64 = 1.4;
    let absolute = pressed.pressure_pa + air_pa;
    let left = math::powf(air_pa / absolute, (KAPPA - 1.0) / KAPPA);
    absolute * pressed.volume_m3 / (KAPPA - 1.0) * (1.0 - left)
}

/// Energy that the same volume of water sets free, J: `p2 V / 2K` with its bulk modulus, Pa. The stretched pipe adds to it.
pub fn of_water_j(pressed: StoredPressure, bulk_modulus_pa: f64) -> f64 {
    math::powi(pressed.pressure_pa, 2) * pressed.volume_m3 / (2.0 * bulk_modulus_pa)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn air_holds_thousands_of_times_what_water_does() {
        let pressed = StoredPressure {
            volume_m3: 0.05,
            pressure_pa: 981_000.0,
        };
        let ratio = of_air_j(pressed, 101_325.0) / of_water_j(pressed, 2.1e9);
        assert!(ratio > 5_000.0 && ratio < 6_500.0, "{ratio}");
    }
}
