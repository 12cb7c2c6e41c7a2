//! The order of work for this line: filling, testing, draining, flushing, restarting, as steps with their figures.

crate::text::words! {
    /// Which job a step belongs to.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum Job {
        /// Filling the drained line for the first time or after work on it.
        Filling = "filling",
        /// Pressure and leak test.
        Testing = "pressure test",
        Draining = "draining",
        /// Flushing silt.
        Flushing = "flushing",
        /// Restarting after it ran dry.
        Restarting = "restarting",
    }
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
}

/// How air leaves at a crest while the line fills.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum AirOut {
    /// By a vent that works by itself.
    Free,
    /// By a cock that somebody opens and shuts.
    ByHand,
    /// By nothing: it is pushed on, or stays.
    Nothing,
}

/// What is done in a step, with its figures. Valves go by the user's names; without one, what stands there is not known.
#[derive(Debug, Clone, PartialEq)]
pub enum Act {
    /// Walk the line: anchors, joints, nobody below.
    WalkFirst,
    /// It does not start with what stands: set these vents first. Stations, m.
    SetVentsFirst(Vec<f64>),
    /// It does not start with what stands, and vents do not cure it.
    VentsDoNotCure,
    /// Open these vents by hand: stations, m.
    OpenCocks(Vec<f64>),
    /// Open these vents by hand, the highest first, each once the gauge at the lower end has fallen so far: station, m, and gauge, Pa.
    OpenCocksAsItFalls(Vec<(f64, f64)>),
    /// See that these vents are free: stations, m.
    CheckVents(Vec<f64>),
    /// Shut these drains: stations, m.
    ShutDrains(Vec<f64>),
    /// Open these drains in this order: stations, m.
    OpenDrains(Vec<f64>),
    /// Open these drains in this order, each until it runs clear: stations, m.
    FlushDrains(Vec<f64>),
    /// Crack the lower end open, so that the last leg's air can leave.
    CrackLowerEnd(Option<String>),
    /// Prime the siphon: fill it at its crest with the lower end shut. Station, m.
    Prime(f64),
    /// Let in so much at the intake, m3/s, until water shows at the end after about this time, s.
    FillAt {
        /// The head valve.
        valve: Option<String>,
        /// Flow, m3/s.
        flow_m3_per_s: f64,
        /// Time, s.
        time_s: f64,
    },
    /// Water passes here after about this time, s from the start: wait for the air.
    WaitAtCrest {
        /// Crest, m.
        station_m: f64,
        /// When, s.
        after_s: f64,
        /// How the air leaves.
        air: AirOut,
    },
    /// No water at the lower end long after it should have come, s from the start: it has locked.
    IfNoWaterComes {
        /// When to stop, s.
        after_s: f64,
    },
    /// Shut the lower end and read the gauge: it must show this, Pa; less by a pocket's height means air.
    ReadShutGauge {
        /// Pressure at the turbine, Pa.
        pressure_pa: f64,
        /// What the pockets that may stay take off it, Pa.
        low_by_pa: f64,
        /// Time to take over the shutting, s, where one is known.
        over_s: Option<f64>,
    },
    /// Hold the pressure that stands (the test with the line's own head), Pa at the lower end, for this time, s, and walk the joints.
    HoldStanding {
        /// Pressure, Pa.
        pressure_pa: f64,
        /// Time, s.
        time_s: f64,
    },
    /// Shut the head valve, plug the standpipes and shut the cocks below vents: an open one lets the test pressure out. Stations, m.
    PlugForTest {
        /// The head valve.
        valve: String,
        /// Standpipes, m.
        standpipes_m: Vec<f64>,
        /// Vents with a cock beneath, m.
        valves_m: Vec<f64>,
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
    /// Let the test pressure down at the lower end, then take the plugs out and open the cocks again. Stations, m.
    UnplugAfterTest(Vec<f64>),
    /// No test above the standing pressure, and why.
    NoHigherTest(NoTest),
    /// Shut the head valve slowly.
    ShutHeadValve(String),
    /// Nothing can be shut at the intake: lead the water away from it.
    CutWater,
    /// Shut the jets and the lower end slowly, one by one, over this time, s, where one is known.
    ShutLowerEnd {
        /// Time, s.
        over_s: Option<f64>,
    },
    /// Open the head valve slowly, all the way.
    OpenHeadValve(String),
    /// See that the vent below the head valve is open. Station, m.
    OpenVentBelowHeadValve(f64),
    /// No vent stands below the head valve: it is wanted here, m, and the valve is not to be shut on a full pipe before.
    NoVentBelowHeadValve(f64),
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
        /// The stream gives no more, less than flushing asks for.
        short: bool,
    },
    /// Open the jets slowly, one by one, over this time, s, where one is known; then the gauge at the lower end must show this, Pa.
    OpenJets {
        /// Time, s.
        over_s: Option<f64>,
        /// Gauge with the largest flow, Pa.
        running_pa: Option<f64>,
    },
    /// It does not restart by itself: these vents must be opened. Stations, m.
    OpenToRestart(Vec<f64>),
}

crate::text::by_word! {
    Act {
        Self::WalkFirst => "walk-first",
        Self::SetVentsFirst(..) => "install-vents-first",
        Self::VentsDoNotCure => "vents-not-sufficient",
        Self::OpenCocks(..) => "open-cocks",
        Self::OpenCocksAsItFalls(..) => "open-cocks-as-it-falls",
        Self::CheckVents(..) => "check-vents",
        Self::ShutDrains(..) => "close-drains",
        Self::OpenDrains(..) => "open-drains",
        Self::FlushDrains(..) => "flush-drains",
        Self::CrackLowerEnd(..) => "open-lower-end-slightly",
        Self::Prime(..) => "prime",
        Self::FillAt { .. } => "fill-at",
        Self::WaitAtCrest { .. } => "wait-at-high-point",
        Self::IfNoWaterComes { .. } => "if-no-water-comes",
        Self::ReadShutGauge { .. } => "read-static-gauge",
        Self::HoldStanding { .. } => "static-test",
        Self::PlugForTest { .. } => "plug-for-test",
        Self::HoldTest { .. } => "pressure-test",
        Self::UnplugAfterTest(..) => "unplug-after-test",
        Self::NoHigherTest(..) => "no-higher-test",
        Self::ShutHeadValve(..) => "close-head-valve",
        Self::CutWater => "divert-water",
        Self::ShutLowerEnd { .. } => "close-lower-end",
        Self::OpenHeadValve(..) => "open-head-valve",
        Self::OpenVentBelowHeadValve(..) => "open-vent-below-head-valve",
        Self::NoVentBelowHeadValve(..) => "no-vent-below-head-valve",
        Self::EmptyAtLowerEnd { .. } => "empty-at-lower-end",
        Self::Stays { .. } => "water-stays",
        Self::FlushAt { .. } => "flush-at",
        Self::OpenJets { .. } => "open-jets",
        Self::OpenToRestart(..) => "open-to-restart",
    }
}

/// Why the line is not tested above its standing pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum NoTest {
    /// No valve stands at the intake to hold it against.
    NoHeadValve,
    /// A rating is not known.
    NoRating,
    /// The weakest part may take no more than this at the lower end, Pa.
    Weakest(f64),
}

/// One step.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkStep {
    /// The job.
    pub job: Job,
    /// What is done.
    pub act: Act,
    /// Cautions to read before it.
    pub cautions: Vec<Caution>,
    /// A figure in it is not verified against its document.
    pub from_memory: bool,
}
