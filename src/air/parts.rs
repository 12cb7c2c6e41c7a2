//! What the room says: pockets, the start, vents, drains, filling and the order of work, as figures without words.

use super::startup::CrestState;
use super::sweep::Sweep;
use super::work::WorkStep;
use crate::pipe::{Device, RunState};

/// Everything about air on one line, as declared.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Air {
    /// Water level at the intake that the start is judged at, m: the lowest, which harms it.
    pub level_m: f64,
    /// Pressure of the air as a head of this water, m: the site's, or the sea's where the altitude is not known, which squeezes least.
    pub air_head_m: f64,
    /// Where air gathers, in order from the intake.
    pub pockets: Vec<Pocket>,
    /// Whether the line starts after it was drained, with somebody there who opens the hand cocks and fills a siphon at the intake.
    pub start: Start,
    /// The same with nobody there: hand cocks and shut isolating cocks do not count.
    pub unattended: Start,
    /// The line filled with the turbine valve shut or barely cracked: the last leg traps air too.
    pub shut_fill: ShutFill,
    /// The same where nobody opened a cock: the air that may stand in the line.
    pub shut_fill_alone: ShutFill,
    /// The pipe climbs over the edge of the intake.
    pub siphon: Option<SiphonAir>,
    /// Running with the pockets of the start left in: what they take.
    pub left_in: Vec<LeftIn>,
    /// The smallest set of crests to vent.
    pub cure: Cure,
    /// Vents that stand and vents that are wanted, in order from the intake.
    pub vents: Vec<Vent>,
    /// Drains at the lows.
    pub drains: Vec<Drain>,
    /// Filling.
    pub filling: Filling,
    /// Filling, pressure test, draining, flushing and restarting, step by step.
    pub work: Vec<WorkStep>,
}

crate::text::words! {
    /// Why air stays at a place.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum PocketCause {
        /// The pipe climbs and falls again.
        Climb = "climb",
        /// It falls all the way, but steepens: a pocket hangs below the break when the water is too slow.
        Break = "break",
        /// It falls all the way, but comes nearer to the grade line than on either side.
        NearGradeLine = "near the grade line",
        /// Too little fall to carry bubbles.
        Flat = "flat",
        /// Just below a valve or the intake: air is drawn in here when it shuts.
        BelowShutOff = "below a shut-off",
        /// An even run so long that it wants a place to let air out and in.
        LongRun = "long run",
    }
}

/// Volume and height of air in a pocket.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct AirVolume {
    /// Volume, m3.
    pub volume_m3: f64,
    /// Vertical height from its top down to the water, m.
    pub height_m: f64,
}

/// A place where air gathers.
#[derive(Debug, Clone, PartialEq)]
pub struct Pocket {
    /// Why.
    pub why: PocketCause,
    /// Where its top is, m.
    pub station_m: f64,
    /// Where it may begin, m.
    pub from_m: f64,
    /// Where it may end, m.
    pub to_m: f64,
    /// Share of the equally likely lines that gather air here, 0 to 1.
    pub certainty: f64,
    /// Index into `profile.climbs`, for a climb.
    pub climb: Option<usize>,
    /// Its rise exceeds a bore on the mean line, so that water seals it at the start.
    pub seals: bool,
    /// As the water seals it, at the air's own pressure. Zero where nothing seals.
    pub at_rest: AirVolume,
    /// The same air squeezed by the pressure at its crest in the running state with the largest flow, the pockets above left in; by the water at rest where nothing runs.
    pub compressed: AirVolume,
    /// Indexes into `line.stands`: vents that let this air out by themselves.
    pub vented_by: Vec<usize>,
    /// Indexes into `line.stands`: vents that do so when somebody opens them.
    pub by_hand: Vec<usize>,
    /// Whether the water would carry it out, by case and by relation.
    pub sweeps: Vec<Sweep>,
    /// A figure or limit behind it is not verified against its document.
    pub from_memory: bool,
}

crate::text::words! {
    /// Whether the line starts.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum StartVerdict {
        /// It starts even with every falling leg full of air.
        Starts = "starts",
        /// It starts only because the air squeezes; not surely after it was drained in part.
        MayStart = "may start",
        Locks = "locks",
        /// The survey does not settle it.
        CannotTell = "cannot tell",
    }
}

/// The start of a drained line.
#[derive(Debug, Clone, PartialEq)]
pub struct Start {
    /// The verdict.
    pub verdict: StartVerdict,
    /// Head to spare with every unvented falling leg full of air, m, on the mean line.
    pub margin_worst_m: f64,
    /// The same with the air squeezed, m: never less.
    pub margin_compressed_m: f64,
    /// Standard deviation of the worst margin over the equally likely lines, m.
    pub margin_sd_m: f64,
    /// Share of the equally likely lines that start in the worst case.
    pub probability_starts: f64,
    /// Share that starts with the air squeezed.
    pub probability_compressed: f64,
    /// Crests that seal on the mean line, in order, with the head each one eats.
    pub crests: Vec<CrestState>,
    /// Reaches that decide it, the one that eats most first.
    pub decided_by: Vec<Decider>,
}

impl Start {
    /// Reaches whose levelling would settle it, m: the climbs in the reaches that decide it, in order down the line; where none is listed, the three heaviest reaches. A reach that eats the same in every likely line is known well enough: levelling it again would settle nothing.
    pub fn to_level_m(&self, climbs: &[crate::profile::Climb]) -> Vec<(f64, f64)> {
        let doubt = |d: &Decider| d.head_sd_m * d.head_sd_m;
        let whole: f64 = self.decided_by.iter().map(doubt).sum();
        let weighs = |d: &&Decider| doubt(d) >= LEAST_DOUBT_SHARE * whole;
        let decides = |from: f64, to: f64| {
            self.decided_by
                .iter()
                .filter(weighs)
                .any(|d| d.from_m <= to && from <= d.to_m)
        };
        let doubtful: Vec<(f64, f64)> = climbs
            .iter()
            .filter(|c| decides(c.reach_from_m, c.reach_to_m))
            .map(|c| (c.reach_from_m, c.reach_to_m))
            .collect();
        if doubtful.is_empty() {
            self.decided_by
                .iter()
                .filter(weighs)
                .take(3)
                .map(|d| (d.from_m, d.to_m))
                .collect()
        } else {
            doubtful
        }
    }
}

/// Least share of the start's doubt (variance of the head eaten) that makes a reach worth levelling.
const LEAST_DOUBT_SHARE: f64 = 0.02;

/// A reach whose heights decide the start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Decider {
    /// From the low before the climb, m.
    pub from_m: f64,
    /// To the low behind it, m.
    pub to_m: f64,
    /// Head that its falling leg eats when full of air, m, on average over the equally likely lines.
    pub head_m: f64,
    /// Standard deviation of that, m.
    pub head_sd_m: f64,
    /// Share of the equally likely lines in which a climb seals here.
    pub share: f64,
}

/// The line filled with its lower end shut.
#[derive(Debug, Clone, PartialEq)]
pub struct ShutFill {
    /// Least height of the water's head over a crest it must spill over, m; below zero it does not fill.
    pub margin_m: f64,
    /// Pockets that stay, with the last leg's, squeezed by the standing head.
    pub pockets: Vec<ShutPocket>,
    /// What a gauge at the shut turbine valve reads too low, m of water.
    pub gauge_low_m: f64,
}

/// A pocket that stays while the lower end is shut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShutPocket {
    /// Crest it hangs from, m.
    pub station_m: f64,
    /// It hangs in the last leg, down to the turbine.
    pub last_leg: bool,
    /// Volume and height, squeezed.
    pub held: AirVolume,
    /// The whole fall of its leg, m: what it could reach if more air came in later.
    pub fall_m: f64,
    /// Pressure of its air, Pa.
    pub pressure_pa: f64,
}

/// A siphon at the intake.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SiphonAir {
    /// Where the pipe stands highest above the water, m.
    pub station_m: f64,
    /// Lift above the lowest water, m.
    pub lift_m: f64,
    /// Lift at which water at its warmest boils at this site, m: no siphon lifts as far.
    pub boils_at_m: f64,
    /// Most lift that is worked with there, m: what its joints and the site's air leave (page crests).
    pub works_to_m: f64,
    /// Margin of the line once the siphon is primed, worst case, m.
    pub margin_primed_m: f64,
    /// Index into `line.stands`: a vent that lets air into it by itself, so that it does not hold.
    pub broken_by: Option<usize>,
}

impl SiphonAir {
    /// Whether it can be primed and stays so, standing still: no vent breaks it, and its lift is one that is worked with.
    pub fn holds(&self) -> bool {
        self.broken_by.is_none() && self.lift_m <= self.works_to_m
    }
}

/// A case run with the pockets of the start left in.
#[derive(Debug, Clone, PartialEq)]
pub struct LeftIn {
    /// The running state.
    pub case: RunState,
    /// Heights of the pockets together, m, squeezed by the pressure that runs at each.
    pub head_compressed_m: f64,
    /// The same with the legs full of air, m: more than a start leaves, if air came in later.
    pub head_full_m: f64,
    /// Flow with squeezed pockets, m3/s; `None`: it does not run.
    pub flow_compressed_m3_per_s: Option<f64>,
    /// Flow with full legs, m3/s; `None`: it does not run.
    pub flow_full_m3_per_s: Option<f64>,
    /// Share of the water power that is left, squeezed.
    pub power_share_compressed: f64,
    /// Share of the water power that is left, full legs.
    pub power_share_full: f64,
    /// Each pocket, squeezed, from the intake down.
    pub pockets: Vec<LeftPocket>,
}

/// A pocket that is left in while it runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeftPocket {
    /// Its crest, m.
    pub station_m: f64,
    /// Volume and height, squeezed by the pressure that runs there.
    pub held: AirVolume,
}

/// The smallest set of crests to vent so that the worst case starts.
#[derive(Debug, Clone, PartialEq)]
pub struct Cure {
    /// Crest stations to vent that have no working vent, in order from the intake, m. Never the vent below the head valve.
    pub stations_m: Vec<f64>,
    /// Margin of the worst case with them, m.
    pub margin_m: f64,
    /// Margin that was asked for, m.
    pub wanted_margin_m: f64,
    /// Share of the equally likely lines that start in the worst case with them.
    pub probability: f64,
    /// Whether they reach what was asked for. If not, they are all that vents can do: the line must be laid otherwise.
    pub enough: bool,
    /// Crests that could be vented.
    pub candidates: usize,
    /// Whether every set was tried (else the best set of each size).
    pub all_sets: bool,
    /// With them the line surely starts, be it without the whole of the margin asked for.
    pub starts: bool,
    /// Vents that would be needed even when nobody opens a cock: stations, m. None where an open vent would draw air in while it runs.
    pub unattended_m: Vec<f64>,
    /// With those it surely starts with nobody there.
    pub starts_unattended: bool,
}

crate::text::words! {
    /// What a vent is for.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum VentWhy {
        /// The line locks without it.
        Start = "start",
        /// It starts with somebody there, but not by itself, without it.
        StartUnattended = "start-unattended",
        /// Air in when the head valve shuts with the pipe full; not optional.
        BelowHeadValve = "below-head-valve",
        /// Air in when another valve on the line shuts.
        BelowValve = "below-valve",
        /// Air in when the line empties, or the pipe is pressed flat there.
        Collapse = "collapse",
        /// Lets out what gathers while running; the start does not need it.
        Running = "running",
        /// A long even run.
        LongRun = "long-run",
        /// The crest of a siphon: filled here by hand, and bled. Never one that opens by itself.
        Priming = "priming",
        /// The survey cannot tell whether a climb stands here: look first, then vent.
        Doubtful = "possible-rise",
        /// Stands, and nothing above asks for it.
        Stands = "existing",
    }
}

/// What is wrong with a vent that stands.
#[derive(Debug, Clone, PartialEq)]
pub enum VentFault {
    /// It does not work.
    Stuck,
    /// Its isolating cock is shut.
    CockShut,
    /// It lets air in, never out: it does not help the start.
    OnlyIn,
    /// It lets air out, hardly in: it does not guard against collapse.
    OnlyOut,
    /// Somebody must open it: it does not count with nobody there.
    ByHand,
    /// It is planned for pipe that is laid, and does not stand yet.
    ToCome,
    /// The standpipe's top stands lower than water can rise in it.
    Spills {
        /// By so much, m.
        over_m: f64,
        /// Raised by so much, m, it stands as high as a new one: the freeboard is in it.
        raise_m: f64,
    },
    /// The top of the standpipe was not given.
    TopUnknown,
    /// Its bore is less than it needs to be: the trade size that does, m.
    BoreUnder(f64),
    /// Its bore was not given.
    BoreUnknown,
    /// It draws air in while these cases run, so that they fall back to what the pipe above passes.
    Inhales(Vec<RunState>),
    /// It stands so far below the crest that a pocket of this height stays, m.
    BelowCrest(f64),
}

crate::text::by_word! {
    VentFault {
        Self::Stuck => "stuck",
        Self::CockShut => "cock shut",
        Self::OnlyIn => "only in",
        Self::OnlyOut => "only out",
        Self::ByHand => "by hand",
        Self::ToCome => "to come",
        Self::Spills { .. } => "spills",
        Self::TopUnknown => "top unknown",
        Self::BoreUnder(_) => "too narrow",
        Self::BoreUnknown => "bore unknown",
        Self::Inhales(_) => "inhales",
        Self::BelowCrest(_) => "below the crest",
    }
}

/// Air one way through a vent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VentFlow {
    /// Flow, m3/s.
    pub flow_m3_per_s: f64,
    /// Difference of pressure that it is sized at, Pa.
    pub across_pa: f64,
    /// Least bore for it, m.
    pub bore_m: f64,
}

/// A vent, standing or wanted.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Vent {
    /// Where, m.
    pub station_m: f64,
    /// Within what, m: the crew sets it at the highest place it finds there.
    pub tolerance_m: f64,
    /// Index into `line.stands`; `None`: wanted.
    pub stands: Option<usize>,
    /// What it is for.
    pub why: VentWhy,
    /// What lets the air through.
    pub device: Device,
    /// Bore of its opening, m: at least this.
    pub bore_m: f64,
    /// Top of the standpipe above the pipe, m.
    pub top_m: Option<f64>,
    /// Wants an isolating cock beneath it (a standpipe does not).
    pub isolating_cock: bool,
    /// Cases in which the grade line stands below the pipe here, so that an open vent draws air in.
    pub inhales: Vec<RunState>,
    /// Air that its place asks it to let out while the line fills, at the pipe's own pressure; `None`: not asked.
    pub out: Option<VentFlow>,
    /// Air that its place asks it to let in, free air: the larger of draining and a burst below; `None`: not asked.
    pub inward: Option<VentFlow>,
    /// A hand must open it for either.
    pub by_hand: bool,
    /// What is wrong with it, where it stands.
    pub faults: Vec<VentFault>,
    /// A figure behind it is not verified against its document.
    pub from_memory: bool,
}

/// A drain at a low.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Drain {
    /// Where, m.
    pub station_m: f64,
    /// Index into `line.stands`; `None`: wanted.
    pub stands: Option<usize>,
    /// Index into `line.stands`: it is planned here, but does not stand on the laid pipe yet; nothing more is to be bought.
    pub to_come: Option<usize>,
    /// Share of the equally likely lines in which water stands here.
    pub certainty: f64,
    /// Least bore, m.
    pub bore_m: f64,
    /// Bore that also lets silt out, m.
    pub silt_bore_m: f64,
    /// Time to empty what drains to it, s, with a vent open above.
    pub emptying_s: f64,
    /// Flow when it is first opened, m3/s.
    pub first_flow_m3_per_s: f64,
    /// Water that stays when only the turbine end is opened, m3.
    pub left_standing_m3: f64,
    /// Length of pipe in which it stays, m.
    pub left_length_m: f64,
    /// The water that stays can freeze at this site.
    pub frost: bool,
    /// A figure behind it is not verified against its document.
    pub from_memory: bool,
}

/// Filling the drained line.
#[derive(Debug, Clone, Copy, Default, PartialEq, serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Filling {
    /// Speed of the water in the smallest bore, m/s.
    pub speed_m_per_s: f64,
    /// Flow, m3/s.
    pub flow_m3_per_s: f64,
    /// Volume of the line, m3.
    pub volume_m3: f64,
    /// Time, s, without the waits at the vents.
    pub time_s: f64,
    /// Head rise when the last air leaves at that speed (air slam), m, at the wave speed given.
    pub slam_m: Option<f64>,
}
