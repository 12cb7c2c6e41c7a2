use super::{
    Buried, DeclaredStep, Gauging, HoldWanted, Lighter, LighterZones, PressureCause, Rust, Slip,
    Solid, Starting, TestOutcome, Unheld,
};
use crate::flow::{Explanation, Limited, NextReading, WhyNot};
use crate::pipe::{Joint, Law, RunState};
use crate::strength::NoWheel;

/// What was found, with the figures that the report puts into words.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Kind {
    // Stop.
    /// Pressure at the height plus two standard deviations is more than the pipe, joint or fitting may take.
    OverPressure {
        /// The pipe's words.
        spec: String,
        /// What is weakest: "pipe", "joint" or a fitting's name.
        weakest: String,
        /// Share of what it may take, at two standard deviations.
        use_high: f64,
        /// Largest pressure, Pa.
        pressure_pa: f64,
        /// What it may take there, Pa.
        allowed_pa: f64,
        /// What makes the pressure.
        cause: PressureCause,
    },
    /// Not pressure pipe.
    NotPressurePipe {
        /// The pipe's words.
        spec: String,
        /// Why it is refused.
        reason: String,
    },
    /// No rating is known, so nothing can be judged.
    NoRating {
        /// The pipe's words.
        spec: String,
        /// The weakest and the strongest grade that it may be.
        may_be: Option<(crate::strength::MayTake, crate::strength::MayTake)>,
    },
    /// A shut-off or drain without air inlet on pipe that would collapse.
    CollapseWithoutAir {
        /// The valve on the way that is shut; empty where none is.
        of: String,
        /// What pulls: the line that empties, a running state, a movement.
        cause: PressureCause,
        /// Outside pressure it would stand, Pa, without a factor.
        collapse_pa: f64,
        /// Least pressure, Pa (negative).
        least_pa: f64,
        /// The movement comes at once by itself: nobody can slow it.
        at_once: bool,
    },
    /// An end or bend at pressure that nothing restrains.
    Unrestrained(Unheld),
    /// A coupling that is not for pressure lines.
    ForbiddenJoint {
        /// The joint.
        joint: Joint,
    },
    /// The line cannot run: no head, or the survey contradicts itself.
    NoHead {
        /// Still water less nozzle axis, m.
        gross_head_m: f64,
    },
    // Fix.
    /// States that were asked for and cannot be.
    CannotBe {
        /// The states, all for one reason.
        cases: Vec<RunState>,
        /// Why.
        why: WhyNot,
        /// The fitting that the reason names.
        fitting: Option<String>,
    },
    /// A certain climb that nothing vents.
    ClimbUnvented {
        /// Largest rise, m.
        rise_m: f64,
        /// Its standard deviation, m.
        rise_sd_m: f64,
        /// Where the crest stands, m.
        crest_m: f64,
        /// Air it may hold, m3.
        pocket_m3: f64,
        /// A vent at the crest that works only while somebody opens it: where it stands, m.
        by_hand_m: Option<f64>,
        /// A vent at the crest that does not work: where it stands, m.
        idle_m: Option<f64>,
        /// What stands on the line is known; else the survey alone was read.
        vents_known: bool,
        /// An open vent would draw air in there while it runs: a cock is all that can stand.
        cock_only: bool,
        /// Planned pipe comes up there over ground that falls.
        step: Option<DeclaredStep>,
    },
    /// The drained line does not start.
    Locks(Starting),
    /// It starts by the mean heights or with the air squeezed, and not surely in the worst case.
    MayStart(Starting),
    /// A surge goes beyond what the pipe may take or below what it bears.
    SurgeOver {
        /// The movement.
        movement: String,
        /// Total pressure, Pa.
        pressure_pa: f64,
        /// Allowed, Pa.
        allowed_pa: f64,
        /// Shortest safe time, s, where one was found.
        safe_s: Option<f64>,
        /// What must go evenly in that time.
        law: Law,
        /// It comes at once by itself, as a stone in a jet does: nobody can slow it.
        at_once: bool,
    },
    /// The water column parts in a movement.
    ColumnParts {
        /// The movement.
        movement: String,
        /// It shuts a valve on the way: the line below runs on through its jets and empties.
        on_the_way: bool,
        /// When, s.
        at_s: f64,
        /// Shortest safe time, s.
        safe_s: Option<f64>,
        /// What must go evenly in that time.
        law: Law,
        /// It comes at once by itself, as a stone in a jet does: nobody can slow it.
        at_once: bool,
    },
    /// A joint stands in suction.
    JointInSuction {
        /// The joint.
        joint: Joint,
        /// Least pressure, Pa (negative).
        least_pa: f64,
        /// What the joint keeps tight, Pa (negative).
        limit_pa: f64,
        /// What causes it.
        cause: PressureCause,
        /// The movement comes at once by itself: nobody can slow it.
        at_once: bool,
    },
    /// The line does not run full: a crest governs.
    NotFull {
        /// The case.
        case: RunState,
        /// Flow that passes, m3/s.
        flow_m3_per_s: f64,
        /// Why, what it would carry sealed, and what would help.
        limited: Limited,
        /// Other cases that ask for more and are held at the same place: each with the share of its jets' area to throttle to, where throttling helps.
        also: Vec<(RunState, Option<f64>)>,
    },
    /// The siphon at the intake does not hold: a vent lets air into it, or its suction is more than can be worked with.
    SiphonFails {
        /// Its crest above the lowest water, m.
        lift_m: f64,
        /// Gauge head at its crest, m (negative): at the largest flow where it would run; `None`: it does not even stand.
        gauge_m: Option<f64>,
        /// Lowest gauge head that is worked with there, m.
        limit_m: f64,
        /// A vent lets air into it by itself.
        vented: bool,
    },
    /// The survey cannot tell whether the line starts.
    StartNotSettled(Starting),
    /// The survey cannot tell whether the pressure is within what the pipe may take.
    PressureNotSettled {
        /// Use at the mean.
        use_mean: f64,
        /// Use at two standard deviations.
        use_high: f64,
        /// The pipe's words.
        spec: String,
    },
    /// The survey cannot tell whether suction presses the pipe flat: by the mean heights it does not, two standard deviations lower it would.
    CollapseNotSettled {
        /// The pipe's words.
        spec: String,
        /// What pulls.
        cause: PressureCause,
        /// Pull at two standard deviations, Pa.
        pull_pa: f64,
        /// Share of what it may take at the mean.
        use_mean: f64,
        /// The same at two standard deviations.
        use_low: f64,
    },
    /// The survey cannot tell whether joints are sucked at beyond what they keep tight.
    JointNotSettled {
        /// The joint.
        joint: Joint,
        /// Least pressure by the mean heights, Pa.
        least_pa: f64,
        /// The same two standard deviations lower, Pa (negative).
        least_low_pa: f64,
        /// What the joint keeps tight, Pa (negative).
        limit_pa: f64,
        /// What causes it.
        cause: PressureCause,
    },
    /// A vent that stands does not do its work.
    VentFails {
        /// What the user calls it, or its device.
        name: String,
        /// What is wrong.
        fault: crate::air::VentFault,
    },

    // Watch.
    /// The survey cannot tell whether the pipe climbs here.
    ClimbDoubtful {
        /// Mean of the largest rise, m.
        rise_m: f64,
        /// Its standard deviation, m.
        rise_sd_m: f64,
        /// Set-ups of a level that would settle it.
        setups: usize,
        /// How many more walks would settle it, and with which chance; `None` where walking hardly does.
        walks: Option<(usize, f64)>,
        /// The same with a barometer held against another at the powerhouse; `None` where the line was not walked.
        barometer: Option<(usize, f64)>,
        /// Several walks do not agree: without one of them the answer is another.
        hangs_on_one_walk: bool,
        /// Mark that vents it, should it climb, by name or kind.
        by: Option<String>,
    },
    /// A certain climb, vented.
    ClimbVented {
        /// Largest rise, m.
        rise_m: f64,
        /// Mark that vents it, by name or kind.
        by: String,
    },
    /// A reach that hardly falls.
    Flat {
        /// Fall, m per m.
        fall: f64,
        /// Its standard deviation.
        fall_sd: f64,
    },
    /// Air gathers though the pipe falls.
    AirGathers {
        /// Why.
        why: crate::air::PocketCause,
        /// A vent that works by itself would draw air in there while it runs: a cock is all that can stand.
        cock_only: bool,
    },
    /// A low without a drain.
    LowUndrained {
        /// Water that stays, m3.
        left_m3: f64,
        /// It can freeze.
        frost: bool,
    },
    /// Faster than the limit.
    Fast {
        /// The case.
        case: RunState,
        /// Velocity, m/s.
        velocity_m_per_s: f64,
        /// Limit, m/s.
        limit_m_per_s: f64,
    },
    /// The jets take more than the stream gives.
    StreamShort {
        /// The case.
        case: RunState,
        /// Flow that the jets take, m3/s.
        flow_m3_per_s: f64,
        /// Flow the stream can give, m3/s.
        available_m3_per_s: f64,
        /// The month, from 1, where twelve were given.
        month: Option<usize>,
        /// The largest state that it feeds then; `None`: not even the smallest.
        feeds: Option<RunState>,
    },
    /// More loss than is usual.
    LossHigh {
        /// The case.
        case: RunState,
        /// Share of the gross head.
        share: f64,
    },
    /// A gauge does not agree with the survey.
    GaugeOff {
        /// Nothing flowed.
        shut: bool,
        /// Gauge less computed, m of water.
        by_m: f64,
        /// Its standard deviation, m.
        sd_m: f64,
        /// What could explain all readings together; only with the first reading that is off.
        causes: Vec<Explanation>,
        /// The readings suffice to rank the causes.
        ranked: bool,
        /// What to read next.
        next: Option<NextReading>,
    },
    /// The siphon at the intake must be primed by hand after each draining.
    SiphonByHand {
        /// Its crest above the lowest water, m.
        lift_m: f64,
        /// Lift at which water boils at this site, m.
        boils_at_m: f64,
    },
    /// Running with the pockets of the start left in.
    AirTakes {
        /// The case.
        case: RunState,
        /// Head that the pockets take, m: squeezed, and with full legs.
        head_m: (f64, f64),
        /// Flow without them, m3/s.
        flow_m3_per_s: f64,
        /// Standard deviation of that flow, m3/s: those with them are no surer.
        flow_sd_m3_per_s: f64,
        /// Standard deviation of the net head without them, m: the head they take is no surer.
        head_sd_m: f64,
        /// Flow with them, m3/s, squeezed and full; `None`: it does not run.
        left_m3_per_s: (Option<f64>, Option<f64>),
        /// Share of the power that is left, squeezed and full.
        power_share: (f64, f64),
    },
    /// The water is too slow to carry silt on.
    SiltSettles {
        /// The case.
        case: RunState,
        /// Velocity there, m/s.
        velocity_m_per_s: f64,
        /// From this on silt stays in motion, m/s.
        carries_m_per_s: f64,
        /// From this on settled grit is flushed, m/s.
        flushes_m_per_s: f64,
    },
    /// The pipe hardly falls in its first metres: what is drawn in with the water stays there.
    FirstMetresFlat {
        /// Where it has fallen by a bore, m.
        to_m: f64,
        /// Lowest gauge head in them at the largest flow, m.
        least_gauge_m: f64,
    },
    /// Intake pulls air: too little water over the mouth.
    Submergence {
        /// Water over the crown at the lowest level, m.
        has_m: f64,
        /// Water wanted, m.
        wants_m: f64,
    },
    /// A mark that holds is too weak, or is missing.
    HoldWanted(HoldWanted),
    /// The route bends more sharply than the pipe may.
    BendTooSharp {
        /// Angle of the bend, rad.
        angle_rad: f64,
        /// Largest radius that the place gives, m.
        radius_m: f64,
        /// Least radius of the pipe, m; `None`: it is not to be bent at all.
        least_m: Option<f64>,
        /// The nearest elbow that is sold, rad.
        elbow_rad: f64,
        /// The joints there carry the thrust along the pipe: the elbow needs no block.
        restrained: bool,
    },
    /// A bend whose angle the survey does not know well enough to tell whether the pipe follows.
    BendNotSettled {
        /// Angle, rad.
        angle_rad: f64,
        /// Its standard deviation, rad.
        sd_rad: f64,
    },
    /// A fitting in a bend that is tighter than a fitting bears.
    FittingInBend {
        /// Its name.
        name: String,
    },
    /// Joints that no piece is long enough to keep off a climb, a crest, a bend or a span.
    JointsForced {
        /// How many.
        count: usize,
    },
    /// The survey cannot tell whether the line runs full: two standard deviations lower the pressure there would be beyond what may be worked with.
    FullNotSettled {
        /// The case.
        case: RunState,
        /// Pressure by the mean heights, Pa.
        pressure_pa: f64,
        /// The same two standard deviations lower, Pa.
        low_pa: f64,
        /// The least that is worked with there, Pa (negative, or 0 at a vent).
        limit_pa: f64,
    },
    /// The survey cannot tell whether the water parts in a movement.
    PartingNotSettled {
        /// The movement.
        movement: String,
        /// Shortest safe time, s.
        safe_s: Option<f64>,
    },
    /// Suction in the pipe while running, within limits.
    Suction {
        /// The case.
        case: RunState,
        /// Least pressure, Pa.
        pressure_pa: f64,
    },
    /// Classes by zones that would do on pipe that is not bought yet.
    ZonesWouldDo(LighterZones),
    /// The class is heavier than it need be, or could be.
    LighterWouldDo(Lighter),
    /// Figures of the pipe are not verified against its standard: check the marking.
    CheckMarking {
        /// The pipe's words.
        spec: String,
    },
    /// Heights look copied from a terrain model.
    TerrainModel,
    /// A stretch on which the walks have no height.
    NotRecorded {
        /// Set-ups of a level that would settle it.
        setups: usize,
    },
    /// The book does not close.
    Misclosure {
        /// Found, m.
        found_m: f64,
        /// Allowed, m.
        allowed_m: f64,
    },
    /// Surge figures do not hold while air is in the line.
    SurgeNotValid,
    /// Used pipe or pipe of unknown past judged as if it were new.
    UsedPipe {
        /// The pipe's words.
        spec: String,
        /// Share of its rating that was counted.
        share: f64,
    },
    /// The wall gets hotter than any table of its standard speaks of.
    TooWarm {
        /// The pipe's words.
        spec: String,
        /// Temperature of the wall, C.
        wall_c: f64,
        /// End of the table, C.
        limit_c: f64,
    },
    /// Traffic over a buried reach: too much, or not to be judged.
    Wheel {
        /// Share of what the ring may take, or why it cannot be judged.
        outcome: Result<f64, NoWheel>,
    },
    /// A figure that reads and is none that such a thing has.
    Slip(Slip),
    /// The trench of buried pipe.
    Buried(Buried),
    /// The stream as it was measured.
    Gauging(Gauging),
    /// What the water carries.
    Solid(Solid),
    /// What the pressure test says.
    Trial(TestOutcome),
    /// What attacks metal.
    Rust(Rust),
    /// A full vacuum would press the pipe flat: it lives by the vents that let air in.
    NeedsAir {
        /// Vents that stand and let air in by themselves on it.
        stand: usize,
        /// Vents that are wanted and would.
        wanted: usize,
    },
}
