use crate::pipe::RunState;

/// What the water carries, and what keeps it out.
#[derive(Debug, Clone, PartialEq)]
pub enum Solid {
    /// What passes the screen can block a jet: at once by one stone, or by several that bridge it.
    JetBlocks {
        /// The jet's name.
        jet: String,
        /// The hole, m.
        nozzle_m: f64,
        /// Clear width of the screen's openings, m.
        opening_m: f64,
        /// One stone suffices.
        at_once: bool,
        /// Widest opening that would do, m.
        wanted_m: f64,
        /// Largest pressure at the turbine when a jet is blocked at once, Pa.
        surge_pa: Option<f64>,
    },
    /// What passes the screen can block the machine's narrowest passage.
    ClearanceBlocks {
        /// The passage, m.
        clearance_m: f64,
        /// Clear width of the screen's openings, m.
        opening_m: f64,
        /// One stone suffices.
        at_once: bool,
        /// Widest opening that would do, m.
        wanted_m: f64,
    },
    /// The water is too fast at the screen: it holds the debris on it.
    ScreenFast {
        /// The state.
        case: RunState,
        /// Velocity at it, m/s.
        velocity_m_per_s: f64,
        /// Limit, m/s.
        limit_m_per_s: f64,
        /// Wetted face that keeps to it, m2.
        wanted_m2: f64,
    },
    /// With the screen half blocked the water behind it is too low over the pipe inlet.
    ScreenDrawsDown {
        /// The state.
        case: RunState,
        /// Head it takes clean, m.
        clean_m: f64,
        /// Head it takes half blocked, m.
        half_m: f64,
        /// Water over the crown then, m.
        cover_m: f64,
        /// Water wanted, m.
        wants_m: f64,
    },
    /// A rack that is raked by hand is too steep for it.
    ScreenSteep {
        /// From the horizontal, rad.
        slope_rad: f64,
        /// Limit, rad.
        limit_rad: f64,
    },
}
