crate::text::words! {
    /// How much a soil attacks bare steel, by its resistivity.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
    pub enum SoilClass {
        /// Hardly at all: over 200 ohm m.
        Hardly = "hardly corrosive",
        /// Mildly: 100 to 200.
        Mildly = "mildly corrosive",
        /// Moderately: 50 to 100.
        Moderately = "moderately corrosive",
        /// Clearly: 30 to 50.
        Clearly = "corrosive",
        /// Highly: 10 to 30.
        Highly = "highly corrosive",
        /// Extremely: under 10.
        Extremely = "extremely corrosive",
    }
}

/// Below this resistivity bare steel in the ground is a finding, ohm m.
pub const CORRODES_OHM_M: f64 = 50.0;

/// The class of a soil by its resistivity, ohm m.
///
/// Source: P. R. Roberge, Handbook of Corrosion Engineering (secondary source). Resistivity alone; sulphides, chlorides and acid peat attack more.
pub fn soil_class(ohm_m: f64) -> SoilClass {
    match ohm_m {
        r if r < 10.0 => SoilClass::Extremely,
        r if r < 30.0 => SoilClass::Highly,
        r if r < CORRODES_OHM_M => SoilClass::Clearly,
        r if r < 100.0 => SoilClass::Moderately,
        r if r <= 200.0 => SoilClass::Mildly,
        _ => SoilClass::Hardly,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_better_conductor_attacks_no_less(ohm_m in 1.0..1000.0_f64, more in 1.0..10.0_f64) {
            prop_assert!(soil_class(ohm_m * more) <= soil_class(ohm_m));
        }
    }
}
