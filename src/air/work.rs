//! The order of work for this line: filling, testing, draining, flushing, restarting, as steps with their figures.

/// Which job a step belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Job {
    /// Filling the drained line for the first time or after work on it.
    Filling,
    /// Pressure and leak test.
    Testing,
    /// Draining.
    Draining,
    /// Flushing silt.
    Flushing,
    /// Restarting after it ran dry.
    Restarting,
}

/// A caution that belongs to a step; the words are the report's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Caution {
    /// Water under pressure holds; air under pressure is a spring: never test with air.
    NoAirTest,
    /// Let air out slowly, from the side, nobody in line with caps or couplings.
    BleedFromTheSide,
    /// Loosen nothing before the gauge and an open cock both show zero.
    ZeroTwice,
    /// A sealed pipe that drains can collapse or suck in its joints: a vent first.
    VentBeforeDrain,
    /// Do not throw a valve open to blow the air out.
    NoBlowing,
    /// Stand clear of bends, ends and joints while the pressure rises.
    StandClear,
    /// Silt and much water at once harm the stream; leave or permission may be needed.
    Outfall,
    /// Water left in lows, stubs and risers freezes.
    Frost,
    /// Walk the route after filling: a leak starts a slide.
    WalkTheRoute,
    /// Water and electricity below a pipe that may burst: know where the jet goes.
    Electrics,
    /// Chambers and tanks can hold bad air or fill suddenly: not alone.
    ConfinedSpace,
}

/// What is done in a step, with its figures.
#[derive(Debug, Clone, PartialEq)]
pub enum Act {
    /// Walk the line: anchors, joints, nobody below.
    WalkFirst,
    /// Open these vents by hand: stations, m.
    OpenCocks(Vec<f64>),
    /// See that these vents are free: stations, m.
    CheckVents(Vec<f64>),
    /// Shut these drains: stations, m.
    ShutDrains(Vec<f64>),
    /// Open these drains in this order: stations, m.
    OpenDrains(Vec<f64>),
    /// Crack the turbine valve or a jet open, so that the last leg's air can leave.
    CrackLowerEnd,
    /// Prime the siphon: fill it at its crest with the lower end shut. Station, m.
    Prime(f64),
    /// Open the head valve to this flow, m3/s, until water shows at the end after about this time, s.
    FillAt {
        /// Flow, m3/s.
        flow_m3_per_s: f64,
        /// Time, s.
        time_s: f64,
    },
    /// Water passes here after about this time, s from the start: wait until the vent runs without air, then shut it.
    WaitAtCrest {
        /// Crest, m.
        station_m: f64,
        /// When, s.
        after_s: f64,
        /// A cock is shut by hand there.
        by_hand: bool,
    },
    /// Shut the lower end and read the gauge: it must show this, Pa; less by a pocket's height means air.
    ReadShutGauge {
        /// Pressure at the turbine, Pa.
        pressure_pa: f64,
        /// What the pockets that may stay take off it, Pa.
        low_by_pa: f64,
    },
    /// Hold the pressure that stands (the test with the line's own head), Pa at the lower end, for this time, s, and walk the joints.
    HoldStanding {
        /// Pressure, Pa.
        pressure_pa: f64,
        /// Time, s.
        time_s: f64,
    },
    /// Raise with a hand pump to this pressure at the lower end, Pa, hold for this time, s. Never above what the weakest part may take.
    HoldTest {
        /// Pressure at the lower end, Pa.
        pressure_pa: f64,
        /// Time, s.
        time_s: f64,
        /// What may at most be lost, Pa.
        loss_pa: f64,
    },
    /// Shut the head valve slowly.
    ShutHeadValve,
    /// Shut the jets and the lower end slowly, one by one.
    ShutLowerEnd,
    /// Open the head valve slowly.
    OpenHeadValve,
    /// Open the vent below the head valve. Station, m.
    OpenVentBelowHeadValve(f64),
    /// Let the line empty at its lower end; it takes about this time, s.
    EmptyAtLowerEnd {
        /// Time, s.
        time_s: f64,
    },
    /// Water stays here: station, m, and how much, m3.
    Stays {
        /// Station, m.
        station_m: f64,
        /// Volume, m3.
        volume_m3: f64,
    },
    /// Flush at this flow, m3/s, which gives this speed in the widest bore, m/s, for this time, s: two fillings of the line.
    FlushAt {
        /// Flow, m3/s.
        flow_m3_per_s: f64,
        /// Speed, m/s.
        speed_m_per_s: f64,
        /// Time, s.
        time_s: f64,
    },
    /// Open the jets slowly, one by one.
    OpenJets,
    /// It does not restart by itself: these vents must be opened. Stations, m.
    OpenToRestart(Vec<f64>),
    /// It locks even with every cock open: set the wanted vents first.
    CannotRestart,
}

/// One step.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// The job.
    pub job: Job,
    /// What is done.
    pub act: Act,
    /// Cautions to read before it.
    pub cautions: Vec<Caution>,
    /// A figure in it is not verified against its document.
    pub from_memory: bool,
}
