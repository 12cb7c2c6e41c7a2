/// A figure of the user's that reads and is none that such a thing has: a unit or a digit may have slipped. It is counted as given, and asked about.
#[derive(Debug, Clone, PartialEq)]
pub enum Slip {
    /// Modulus of a pipe's wall, far from its material's.
    Modulus {
        /// As given, Pa.
        modulus_pa: f64,
        /// What is usual, Pa.
        usual_pa: (f64, f64),
    },
    /// Wave speed, far from what such pipe has.
    WaveSpeed {
        /// As given, m/s.
        wave_speed_m_per_s: f64,
        /// What is usual, m/s.
        usual_m_per_s: (f64, f64),
    },
    /// Roughness beyond the chart of friction.
    Roughness {
        /// As given, m.
        roughness_m: f64,
        /// Bore of the pipe, m.
        bore_m: f64,
    },
    /// A jet as wide as the pipe before it, or wider.
    Jet {
        /// The hole, m.
        nozzle_diameter_m: f64,
        /// Bore of the last pipe, m.
        bore_m: f64,
    },
    /// Nozzles far above or below the pipe's last point.
    NozzleHeight {
        /// Above it, m.
        nozzle_height_m: f64,
    },
    /// More of the water's power than any small plant makes.
    WaterToWire {
        /// As given, 0 to 1.
        water_to_wire: f64,
    },
    /// A relief valve that opens below the pressure that stands on it: it would never shut.
    Relief {
        /// What it is called.
        name: String,
        /// As given, Pa.
        opens_at_pa: f64,
        /// Pressure that stands there, Pa.
        standing_pa: f64,
    },
    /// Still water below the crown of the pipe's mouth: the pipe draws air.
    Level {
        /// Above the pipe's centre, m.
        water_level_m: f64,
        /// Crown of the bore above its centre, m.
        crown_m: f64,
    },
}
