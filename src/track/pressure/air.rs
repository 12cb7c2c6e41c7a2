use crate::numeric::math;

/// Gas constant of dry air, J/(kg K), and gravity, m/s2: the constants of the standard atmosphere (ISO 2533:1975).
const DRY_AIR_J_PER_KG_K: f64 = 287.052_87;
const GRAVITY_M_PER_S2: f64 = 9.806_65;
/// 0 C, K.
pub(super) const ICE_K: f64 = 273.15;

/// Height between two pressures of still air, m, positive where the second one is higher up (the hypsometric formula).
///
/// `lower_pa`, `upper_pa`: pressures at both ends, above 0; `mean_k`: temperature of the air between, K. Damp air is lighter: on a hot damp day the height is up to 1 % more, within the doubt that the temperature is given.
/// Source: the hypsometric equation, R T / g ln(p1 / p2), World Meteorological Organization, Guide to Instruments and Methods of Observation (from memory).
pub fn thickness_m(lower_pa: f64, upper_pa: f64, mean_k: f64) -> f64 {
    DRY_AIR_J_PER_KG_K * mean_k / GRAVITY_M_PER_S2 * math::ln(lower_pa / upper_pa)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 2533:1975, standard atmosphere: 1013.25 hPa and 15 C at the sea, 898.76 hPa at 1,000 m, 794.95 hPa at 2,000 m, 6.5 K less a kilometre. The formula takes one mean temperature.
    #[test]
    fn the_standard_atmosphere() {
        for (height_m, pressure_pa) in [(1000.0, 89_876.0), (2000.0, 79_495.0)] {
            let mean_k = 288.15 - 0.0065 * height_m / 2.0;
            let got = thickness_m(101_325.0, pressure_pa, mean_k);
            assert!((got - height_m).abs() < 0.001 * height_m, "{got}");
        }
        // The trade's rule: some 8.3 m a hectopascal near the sea at 10 C (287.05 283.15 / 9.807 / 1013.25 = 8.18).
        assert!((thickness_m(101_325.0, 101_225.0, 283.15) - 8.18).abs() < 0.02);
    }
}
