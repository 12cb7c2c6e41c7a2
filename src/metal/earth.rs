use std::f64::consts::TAU;

/// Shift that stray direct current may bring to steel in the ground, V: 20 mV below 15 ohm m, 1.5 mV for each ohm m to 200, 300 mV above.
///
/// Source: EN 50162:2004, table 1 (from memory).
pub fn may_shift_v(soil_ohm_m: f64) -> f64 {
    if soil_ohm_m < 15.0 {
        0.020
    } else if soil_ohm_m < 200.0 {
        1.5e-3 * soil_ohm_m
    } else {
        0.300
    }
}

/// How far an electrode's current shifts the soil by more than steel bears, m: `rho I / (2 pi V)`, the field of a point at the surface of even ground. Electrostatics; farther than some lengths of the electrode.
pub fn reaches_m(soil_ohm_m: f64, direct_a: f64) -> f64 {
    soil_ohm_m * direct_a / (TAU * may_shift_v(soil_ohm_m))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn more_current_reaches_farther(ohm_m in 5.0..500.0_f64, a in 0.001..1.0_f64, more in 1.1..5.0_f64) {
            prop_assert!(reaches_m(ohm_m, a * more) > reaches_m(ohm_m, a));
        }
    }
}
