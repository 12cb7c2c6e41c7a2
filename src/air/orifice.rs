//! Air through an orifice: how much a vent passes at a difference of pressure, and how large it must be.

use crate::numeric::math;

/// Ratio of specific heats of air.
const KAPPA: f64 = 1.4;

/// Gas constant of dry air, J/(kg K).
const GAS_CONSTANT: f64 = 287.05;

/// Discharge coefficient of a plain opening: what the large-orifice charts of AWWA M51 are drawn for.
pub const DISCHARGE: f64 = 0.70;

/// Temperature of the air that vents are sized for, C.
pub const AIR_C: f64 = 15.0;

/// Largest difference of pressure with which air is let out while filling, Pa: 2 psi (practice of valve sizing, secondary source).
pub const FILLING_PA: f64 = 13_790.0;

/// Largest vacuum at which air is let in, Pa: 5 psi (practice of valve sizing, secondary source).
pub const VACUUM_PA: f64 = 34_470.0;

/// Trade sizes a bore is rounded up to, m.
const TRADE_SIZES_M: [f64; 11] = [
    0.010, 0.015, 0.020, 0.025, 0.032, 0.040, 0.050, 0.065, 0.080, 0.100, 0.150,
];

/// Pressure on the leaving side over the supply at which air turns sonic: 0.5283.
pub fn sonic_ratio() -> f64 {
    math::powf(2.0 / (KAPPA + 1.0), KAPPA / (KAPPA - 1.0))
}

/// Air on both sides of an opening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Across {
    /// Absolute pressure where the air comes from, Pa.
    pub supply_pa: f64,
    /// Absolute pressure where it goes, Pa.
    pub leaving_pa: f64,
    /// Temperature where it comes from, C.
    pub supply_c: f64,
}

impl Across {
    /// Air into a pipe under a vacuum, Pa below the air's own pressure.
    pub fn inward(air_pa: f64, vacuum_pa: f64) -> Self {
        Self {
            supply_pa: air_pa,
            leaving_pa: (air_pa - vacuum_pa).max(0.0),
            supply_c: AIR_C,
        }
    }

    /// Air out of a pipe that stands above the air's own pressure, Pa gauge.
    pub fn outward(air_pa: f64, inside_pa: f64) -> Self {
        Self {
            supply_pa: air_pa + inside_pa,
            leaving_pa: air_pa,
            supply_c: AIR_C,
        }
    }

    fn supply_k(&self) -> f64 {
        self.supply_c + 273.15
    }

    /// Density on the supply side, kg/m3.
    pub fn supply_density_kg_per_m3(&self) -> f64 {
        self.supply_pa / (GAS_CONSTANT * self.supply_k())
    }

    /// Mass flow through a square metre of opening, kg/s, at a discharge coefficient.
    ///
    /// Isentropic flow of an ideal gas; beyond the sonic ratio it no longer rises. Source: compressible flow (Shapiro 1953; any text); coefficient [`DISCHARGE`].
    /// Bare openings: a long riser under the vent takes its own friction.
    pub fn kg_per_s_m2(&self, discharge: f64) -> f64 {
        let ratio = (self.leaving_pa / self.supply_pa).clamp(sonic_ratio(), 1.0);
        let part = math::powf(ratio, 2.0 / KAPPA) - math::powf(ratio, (KAPPA + 1.0) / KAPPA);
        let energy = 2.0 * KAPPA / ((KAPPA - 1.0) * GAS_CONSTANT * self.supply_k()) * part;
        discharge * self.supply_pa * energy.max(0.0).sqrt()
    }

    /// Bore of the opening that passes a volume flow of the supply side, m.
    pub fn bore_for_m(&self, flow_m3_per_s: f64) -> f64 {
        let per_m2 = self.kg_per_s_m2(DISCHARGE) / self.supply_density_kg_per_m3();
        (flow_m3_per_s / per_m2 / std::f64::consts::FRAC_PI_4).sqrt()
    }
}

/// The next trade size at or above a bore, m; larger than the largest, the bore itself.
pub fn trade_size_m(bore_m: f64) -> f64 {
    TRADE_SIZES_M
        .iter()
        .copied()
        .find(|&size| size >= bore_m - 1e-9)
        .unwrap_or(bore_m)
}

/// Water that runs out of a broken pipe, m3/s: full and steady at its own slope, by the Chezy form used to size vents.
///
/// `Q = 23.85 C/110 sqrt(S D^5)`, D in m, S fall over length of pipe; the same as 0.0007872 C sqrt(S D^5) in cubic feet a second and inches, C = 110
/// (practice of valve sizing, secondary source; the constant is (pi/8)/12^2.5). Smooth plastic pipe runs faster: see [`smooth_m3_per_s`].
pub fn burst_m3_per_s(bore_m: f64, fall: f64) -> f64 {
    const CHEZY_M: f64 = 110.0 * 0.552_087_4; // ft^0.5/s to m^0.5/s
    std::f64::consts::PI / 8.0 * CHEZY_M * (fall.max(0.0) * math::powi(bore_m, 5)).sqrt()
}

/// The same for a smooth pipe, m3/s: Darcy with the Colebrook-White friction of this wall.
///
/// At a given slope the Colebrook law gives the speed outright: `v = -2 sqrt(2 g D S) log10(k/3.71D + 2.51 nu/(D sqrt(2 g D S)))`.
pub fn smooth_m3_per_s(pipe: FullPipe) -> f64 {
    let scale = (2.0 * pipe.gravity_m_per_s2 * pipe.bore_m * pipe.fall.max(0.0)).sqrt();
    if scale <= 0.0 {
        return 0.0;
    }
    let inner = pipe.roughness_m / (3.71 * pipe.bore_m)
        + 2.51 * pipe.viscosity_m2_per_s / (pipe.bore_m * scale);
    std::f64::consts::FRAC_PI_4 * pipe.bore_m * pipe.bore_m * -2.0 * scale * math::log10(inner)
}

/// A pipe that runs full at its own slope.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FullPipe {
    /// Bore, m.
    pub bore_m: f64,
    /// Fall over length of pipe.
    pub fall: f64,
    /// Sand roughness, m.
    pub roughness_m: f64,
    /// Kinematic viscosity, m2/s.
    pub viscosity_m2_per_s: f64,
    /// Gravity, m/s2.
    pub gravity_m_per_s2: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inflow_turns_sonic_and_rises_no_more() {
        let at = |vacuum| {
            let bore_m = Across::inward(101_325.0, vacuum).bore_for_m(1.0);
            math::powi(0.025 / bore_m, 2)
        };
        assert!((at(60_000.0) - at(47_800.0)).abs() < 1e-6);
        assert!(at(40_000.0) < at(47_800.0));
        assert!((at(5_000.0) * 1e3 - 30.2136).abs() < 0.15);
    }

    #[test]
    fn a_size_of_the_trade_is_no_smaller() {
        assert_eq!(trade_size_m(0.0243), 0.025);
        assert_eq!(trade_size_m(0.3), 0.3);
    }

    #[test]
    fn smooth_pipe_runs_faster_than_the_old_constant() {
        // 100 mm at 1 in 10: 28.6 L/s against 24.8 for 4 in
        let smooth = smooth_m3_per_s(FullPipe {
            bore_m: 0.1,
            fall: 0.1,
            roughness_m: 1.5e-6,
            viscosity_m2_per_s: 1.31e-6,
            gravity_m_per_s2: 9.81,
        });
        assert!((smooth * 1e3 - 28.6).abs() < 0.3, "{smooth}");
        assert!(burst_m3_per_s(0.1, 0.1) < smooth);
    }
}
