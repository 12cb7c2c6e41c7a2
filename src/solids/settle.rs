use crate::numeric::math;
use crate::unit::physics::WaterProperties;

/// Density of quartz and feldspar sand, kg/m3 (common practice, no source).
pub const SAND_KG_PER_M3: f64 = 2650.0;

/// Constants of Ferguson and Church for natural sand by sieve: laminar 18, turbulent 1.0.
const LAMINAR: f64 = 18.0;
const TURBULENT: f64 = 1.0;

/// Still or slowly flowing water in which sand settles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settling {
    /// The water: the colder, the slower sand falls.
    pub water: WaterProperties,
    /// Gravity, m/s2.
    pub gravity_m_per_s2: f64,
}

impl Settling {
    /// Speed at which a grain of natural sand falls, m/s, by its size by sieve, m.
    ///
    /// `w = R g d^2 / (C1 nu + sqrt(0.75 C2 R g d^3))`, R the submerged density over the water's. Single grains, from clay to gravel; formulas of others differ by a fifth.
    ///
    /// Source: R. I. Ferguson and M. Church, A simple universal equation for grain settling velocity, Journal of Sedimentary Research 74 (2004).
    pub fn speed_m_per_s(&self, grain_m: f64) -> f64 {
        let density = self.water.density_kg_per_m3;
        let weight = (SAND_KG_PER_M3 / density - 1.0) * self.gravity_m_per_s2;
        let viscosity = self.water.kinematic_viscosity_m2_per_s();
        let turbulent = 0.75 * TURBULENT * weight * math::powi(grain_m, 3);
        weight * grain_m * grain_m / (LAMINAR * viscosity + turbulent.sqrt())
    }

    /// The grain that falls at a speed, m: the reverse of [`Self::speed_m_per_s`], by halving between clay and cobbles; held at the ends.
    pub fn grain_m(&self, speed_m_per_s: f64) -> f64 {
        let (mut low, mut high) = (1e-6_f64, 0.2_f64);
        // both ends are halved on their ratio: 60 steps leave no digit
        for _ in 0..60 {
            let middle = (low * high).sqrt();
            if self.speed_m_per_s(middle) < speed_m_per_s {
                low = middle;
            } else {
                high = middle;
            }
        }
        (low * high).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unit::physics::water;
    use proptest::prelude::*;

    proptest! {
        /// A larger grain falls faster, in warmer water too, and the reverse finds it again.
        #[test]
        fn larger_grains_fall_faster(grain in 2e-5..0.01_f64, more in 1.01..3.0_f64, cold in 0.5..15.0_f64) {
            let of = |c: f64| Settling { water: water(c), gravity_m_per_s2: 9.81 };
            let speed = of(cold).speed_m_per_s(grain);
            prop_assert!(of(cold).speed_m_per_s(grain * more) > speed);
            prop_assert!(of(cold + 5.0).speed_m_per_s(grain) > speed);
            prop_assert!((of(cold).grain_m(speed) / grain - 1.0).abs() < 1e-6);
        }
    }
}
