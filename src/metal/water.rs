use crate::line::Analysis;
use crate::numeric::math;

/// Below this index water dissolves lime, and with it the film that covers bare steel and zinc (common practice, no source).
pub const ATTACKS: f64 = -0.5;

/// Langelier's index: how far a water is from depositing lime; below zero it dissolves it.
///
/// `pH - pHs`, `pHs = 9.3 + A + B - C - D`, `A = (log10 solids - 1)/10`, `B = 34.55 - 13.12 log10 T`, `C = log10 calcium - 0.4`, `D = log10 alkalinity`; mg/L, both as calcium carbonate; T in K. From 0 to 90 C.
///
/// Source: W. F. Langelier, Journal AWWA 28 (1936), in the common short form (secondary source).
pub fn langelier(water: &Analysis, celsius: f64) -> f64 {
    let log10 = |x: f64| math::ln(x) / std::f64::consts::LN_10;
    let a = (log10(water.solids_mg_per_l) - 1.0) / 10.0;
    let b = 34.55 - 13.12 * log10(celsius + 273.0);
    let c = log10(water.calcium_mg_per_l) - 0.4;
    let d = log10(water.alkalinity_mg_per_l);
    water.ph - (9.3 + a + b - c - d)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Harder, more alkaline and warmer water deposits more.
        #[test]
        fn softer_water_attacks_more(ph in 5.0..9.0_f64, lime in 5.0..300.0_f64, more in 1.05..3.0_f64, c in 1.0..20.0_f64) {
            let of = |lime: f64| Analysis { ph, solids_mg_per_l: 100.0, calcium_mg_per_l: lime, alkalinity_mg_per_l: lime };
            prop_assert!(langelier(&of(lime * more), c) > langelier(&of(lime), c));
            prop_assert!(langelier(&of(lime), c + 5.0) > langelier(&of(lime), c));
        }
    }
}
