//! What is to be done at once, as data.

use super::detection_limit::DetectionLimit;

/// What must stand before the line may run, and does not.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Missing {
    /// Anchors that hold an end against its thrust.
    pub anchors: usize,
    /// Vents that let air in before it empties.
    pub inlets: usize,
}

/// One thing to do, or to keep from, tonight.
#[derive(Debug, Clone, PartialEq)]
pub enum UrgentAction {
    /// Shut the intake slowly and leave the air inlet below it open: something may burst or part. Do not run.
    ShutDown {
        /// Where it is weakest, m.
        station_m: f64,
    },
    /// What was found on the line as it lies forbids filling or running it, whatever the storm did.
    Forbidden {
        /// How many findings do.
        count: usize,
        /// How many of them did not stand before.
        new: usize,
        /// Where the first of them begins, m.
        first_m: f64,
    },
    /// Walk the pipe and look: the surveys do not show everything that matters.
    Walk {
        /// What they show at the least; `None` where that is enough.
        sight: Option<DetectionLimit>,
        /// Reaches that were not surveyed again: from, to, m.
        unseen_m: Vec<(f64, f64)>,
    },
    /// Look at the joints here before there is pressure on them: the pipe grew longer by so much.
    LookAtJoints {
        /// From, m.
        from_m: f64,
        /// To, m.
        to_m: f64,
        /// How much longer, m.
        longer_m: f64,
    },
    /// Do not stand below or on these reaches: the ground moved.
    KeepClear {
        /// From and to, m, the largest movement first.
        reaches_m: Vec<(f64, f64)>,
    },
    /// It may run with little flow, watched.
    RunLow {
        /// The machine has jets: one of them. Else the least flow it runs with.
        jets: bool,
        /// Only once the air is let out.
        vented: bool,
        /// Only once what held the pipe where it moved holds again.
        held: bool,
        /// Only once these stand.
        missing: Missing,
    },
    /// It may run as before.
    RunAsBefore {
        /// If a walk along it shows nothing.
        looked: bool,
        /// Something is other than before, though it harms nothing.
        changed: bool,
        /// So many things stand that are to be put right; they stood before too, or the storm would have been named for them.
        left: usize,
    },
    /// Shut the intake slowly and let the pressure off before anybody digs, props or opens a joint.
    ShutToWork,
    /// Open or fit vents here before filling.
    LetAirOut {
        /// Where, m.
        stations_m: Vec<f64>,
        /// What the air does.
        air: ClimbAir,
    },
    /// Open these hand cocks while it fills, until water comes.
    OpenCocks {
        /// Where, m.
        stations_m: Vec<f64>,
    },
    /// Air is drawn in here when it runs: keep the flow down.
    RunLess {
        /// Where the pressure is lowest, m.
        station_m: f64,
    },
    /// Anchors, blocks, straps or supports that no longer hold what they held.
    CheckHolds {
        /// Which: index into the later line's `stands`, and where, m.
        stands: Vec<(usize, f64)>,
        /// The pipe surely moved at one of them; else it may have.
        is_sure: bool,
    },
    /// A bend is sharper than the pipe may take: ease it.
    EaseBend {
        /// Where, m.
        station_m: f64,
    },
    /// Level these reaches first: the survey cannot tell.
    Level {
        /// From and to, m.
        reaches_m: Vec<(f64, f64)>,
    },
    /// Set out the stakes of the cheapest plan.
    Regrade {
        /// Which plan: index into `Compared::regrade`.
        plan: usize,
    },
}

crate::text::by_word! {
    UrgentAction {
        Self::ShutDown { .. } => "shut-down",
        Self::Forbidden { .. } => "forbidden",
        Self::Walk { .. } => "walk",
        Self::LookAtJoints { .. } => "inspect-joints",
        Self::KeepClear { .. } => "keep-clear",
        Self::RunLow { .. } => "operate-reduced",
        Self::RunAsBefore { .. } => "operate-as-before",
        Self::ShutToWork => "close-before-work",
        Self::LetAirOut { .. } => "let-air-out",
        Self::OpenCocks { .. } => "open-cocks",
        Self::RunLess { .. } => "reduce-flow",
        Self::CheckHolds { .. } => "inspect-restraints",
        Self::EaseBend { .. } => "increase-bend-radius",
        Self::Level { .. } => "level",
        Self::Regrade { .. } => "regrade",
    }
}

/// What the air in the climbs does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ClimbAir {
    /// The line does not start.
    Locks,
    /// It may not: the survey cannot tell.
    MayLock,
    /// It starts, with this share of its power.
    HoldsBack(f64),
}
