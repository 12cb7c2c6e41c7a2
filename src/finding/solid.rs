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
    /// Grains reach the machine that wear it quickly at its head.
    GritWears {
        /// Largest grain that reaches it, m.
        grain_m: f64,
        /// Largest grain that it bears, m.
        bears_m: f64,
        /// Net head, m.
        net_head_m: f64,
        /// Surface of a basin that settles that grain, m2.
        area_m2: f64,
    },
    /// The basin settles too little of the grain that it was declared for.
    BasinSmall {
        /// The state.
        case: RunState,
        /// The grain, m.
        grain_m: f64,
        /// Share that it settles.
        share: f64,
        /// Surface that settles nine in ten, m2.
        area_m2: f64,
    },
    /// The water goes through the basin so fast that it takes the settled grain along.
    BasinFast {
        /// The state.
        case: RunState,
        /// Velocity through it, m/s.
        velocity_m_per_s: f64,
        /// Fastest that leaves the grain on the floor, m/s.
        limit_m_per_s: f64,
        /// Section that keeps to it, m2.
        section_m2: f64,
    },
    /// The flushing water does not move settled grit.
    BasinNotFlushed {
        /// Flow that flushes, as declared, m3/s.
        flow_m3_per_s: f64,
        /// Flow that would, m3/s.
        wanted_m3_per_s: f64,
    },
    /// A nozzle is worn by 5 % of its area within a year in operation.
    NozzleWears {
        /// The nozzle.
        jet: String,
        /// Time in operation until then, s.
        after_s: f64,
        /// Speed of its jet, m/s.
        speed_m_per_s: f64,
    },
    /// A rack that is raked by hand is too steep for it.
    ScreenSteep {
        /// From the horizontal, rad.
        slope_rad: f64,
        /// Limit, rad.
        limit_rad: f64,
    },
}
