use crate::line::Mover;
use crate::march::ScheduleStage;
use crate::pipe::{Law, Often, RunState, wave::Band};

/// What every movement does along the line.
#[derive(Debug, Clone, Default, PartialEq)]
#[non_exhaustive]
pub struct Surges {
    /// Standard movements first, then the user's, each in the order of the line.
    pub runs: Vec<Surge>,
    /// What could not be marched, and why.
    pub not_run: Vec<NotMarched>,
    /// The blow when the filling water meets a stop at the stated fill speed; `None` where the line has no pipe.
    pub filling: Option<FillingSlam>,
    /// What all of it took, nodes times steps.
    pub node_steps: u64,
}

impl Surges {
    /// Movements that are weighed: all but standard ones that a movement of the user's answers, which must itself have been marched.
    pub fn weighed(&self) -> impl Iterator<Item = &Surge> {
        self.placed().map(|(_, s)| s)
    }

    /// The same, each with its place among `runs`.
    pub fn placed(&self) -> impl Iterator<Item = (usize, &Surge)> {
        let all = self.runs.iter().enumerate();
        all.filter(|(_, s)| s.answered_by.is_none())
    }

    /// The movement by a name.
    pub fn named(&self, movement: &str) -> Option<&Surge> {
        self.runs.iter().find(|s| s.movement == movement)
    }

    /// Elevation to which water rises in an open standpipe at each station of the grid over all weighed movements, m.
    ///
    /// Near the intake, at highs and at vents the standpipe's own water is reckoned with: a short blow hardly lifts it. Elsewhere it is the highest head.
    pub fn standpipe_levels_m(&self) -> Vec<f64> {
        let level = |s: &Surge, i: usize| {
            let p = s.points.get(i)?;
            let near = s
                .risers
                .iter()
                .find(|r| (r.station_m - p.station_m).abs() < 1e-6);
            Some(near.map_or(p.head_max_m, |r| r.level_m))
        };
        let of: Vec<&Surge> = self.weighed().collect();
        let stations = of.first().map_or(0, |s| s.points.len());
        (0..stations)
            .filter_map(|i| of.iter().filter_map(|s| level(s, i)).reduce(f64::max))
            .collect()
    }
}

/// One movement marched along the line.
///
/// Heads are elevations in the survey's datum to which water would rise; pressures are gauge against the site's air.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Surge {
    /// What it is called: the user's name or a standard one ("one jet blocked", "jets closing", "NAME closing").
    pub movement: String,
    /// The user asked for it; else it is one of the standard movements.
    pub asked: bool,
    /// A standard movement that the user's own, by this name, says how it is really made: it is shown and not weighed.
    pub answered_by: Option<String>,
    /// What moves.
    pub of: Mover,
    /// How often it happens.
    pub often: Often,
    /// The state it starts from: of those it was followed in, the one that the figures of one place and the traces are told of.
    pub during: RunState,
    /// The running states that it was followed in, an opening in those it leads to: every one that goes beyond the others anywhere. `points` are the widest of them.
    pub states: Vec<InState>,
    /// Share open at the start.
    pub from: f64,
    /// Share open at the end.
    pub to: f64,
    /// How long it was marched to take, s; 0: at once.
    pub over_s: f64,
    /// What goes evenly in that time, and in the shortest safe one: the open area, or the stroke.
    pub law: Law,
    /// How that time was come by.
    pub timing: Timing,
    /// False while an unvented climb may hold air: a pocket that is pressed together can strike harder than any figure here.
    pub valid: bool,
    /// Wave speed used for the pressures, by reach of the line, m/s: the high end, as adjusted to the grid.
    pub wave_speeds_m_per_s: Vec<f64>,
    /// Range of the wave speed by reach, m/s.
    pub wave_speed_bands_m_per_s: Vec<Band>,
    /// Largest change of a wave speed to fit the grid, as a share (aim 0.01), slivers of one cell left aside.
    pub adjustment: f64,
    /// Largest distance a fitting was moved to fit the grid, m.
    pub moved_m: f64,
    /// Time a wave takes to the intake and back at the slow end, s: what is faster than this acts as at once.
    pub critical_time_s: f64,
    /// Shortest time in which the movement stays within the allowed pressures all along; `None` where no limits were given, or none does.
    pub shortest_safe_s: Option<f64>,
    /// What the search came to.
    pub search: Option<ClosingTimeSearch>,
    /// Highest head at the turbine, m.
    pub head_max_m: f64,
    /// Lowest head at the turbine, m; `None` where the water there parts.
    pub head_min_m: Option<f64>,
    /// The same two with the wave speed at its slow end: the width of the band.
    pub head_slow_m: (f64, Option<f64>),
    /// When the highest stands at the turbine, s.
    pub head_max_at_s: f64,
    /// The water parts (column separation); figures after that moment are those of water that would not.
    pub vapour: Option<Vapour>,
    /// Air is drawn in at the open jets.
    pub air_at_jets: bool,
    /// Heads and pressures at each station of the line's grid, in its order.
    pub points: Vec<SurgePoint>,
    /// Head against time at the turbine, at most 400 points, first and last instants, peaks and troughs kept; it ends where the water parts. Without points where the envelope alone was asked for.
    pub at_turbine: HeadHistory,
    /// Head against time at the worst station: where the least pressure stands nearest to, or furthest below, its limit.
    pub at_worst: HeadHistory,
    /// Closed forms beside it.
    pub closed: ClosedForms,
    /// How high water would rise in a narrow open standpipe at stations where one may be wanted.
    pub risers: Vec<WouldRise>,
    /// How high the water rises in each standpipe that was counted.
    pub standpipes: Vec<StandpipeRise>,
    /// What was taken, so that a report can say so.
    pub taken: Vec<SurgeAssumption>,
}

/// What a movement does at the turbine in one running state.
#[derive(Debug, Clone, PartialEq)]
pub struct InState {
    /// Which.
    pub state: RunState,
    /// Highest head, m.
    pub head_max_m: f64,
    /// Lowest head, m; `None` where the water there parts.
    pub head_min_m: Option<f64>,
}

crate::text::words! {
    /// How the time of a movement was come by.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum Timing {
        /// The user said so.
        Said = "said",
        /// It happens at once: a blocked jet.
        AtOnce = "at once",
        /// The machine runs away by itself when its load is gone: nobody can slow it.
        Runaway = "loss of load",
        /// A lever turned a quarter, as quickly as a hand does it.
        QuickLever = "quarter turn, quick",
        /// A hand wheel turned once a second, by the turns a gate of its size has.
        HandWheel = "hand wheel",
        /// Needles or jet valves shut by hand without hurry.
        ByHand = "by hand",
    }
}

/// Heads and pressures at one station over the whole movement.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct SurgePoint {
    /// Distance along the pipe from its inlet, m.
    pub station_m: f64,
    /// Maximum head, an elevation in the datum of the survey, m.
    pub head_max_m: f64,
    /// Minimum head, an elevation in the datum of the survey, m; absent where the water parts.
    pub head_min_m: Option<f64>,
    /// Maximum pressure on the pipe's centre, Pa.
    pub pressure_max_pa: f64,
    /// Minimum pressure, Pa; absent where the water parts: it is then the boiling pressure, and nothing lower exists.
    pub pressure_min_pa: Option<f64>,
}

/// Where and when the water parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vapour {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Where first, m.
    pub first_m: f64,
    /// When first, s after the movement began.
    pub at_s: f64,
    /// Gauge pressure the site's water boils at, Pa (negative).
    pub limit_pa: f64,
}

/// Head against time at a station.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct HeadHistory {
    /// Station, m.
    pub station_m: f64,
    /// Time after the movement began, s, and head, m; to the moment the water parts anywhere.
    pub points: Vec<(f64, f64)>,
}

/// What the search for the shortest safe time came to.
#[derive(Debug, Clone, PartialEq)]
pub struct ClosingTimeSearch {
    /// Shortest time of one straight movement, s; `None`: not within `longest_s`.
    pub straight_s: Option<f64>,
    /// A movement in two stages that is quicker by a tenth or more.
    pub staged: Option<Vec<ScheduleStage>>,
    /// The longest time looked at, s.
    pub longest_s: f64,
    /// Where the limit is reached first, m.
    pub governing_station_m: f64,
    /// What governs there.
    pub governed_by: Governs,
    /// The state itself, with nothing moving, is over the limit at that station: no time helps.
    pub hopeless: bool,
}

crate::text::words! {
    /// What a shortest time is governed by.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum Governs {
        /// The largest pressure.
        Largest = "largest",
        /// The least pressure.
        Least = "least",
    }
}

/// Closed forms, as a comparison only: none of them is a safe bound.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct ClosedForms {
    /// Change of velocity at what moves, m/s.
    pub velocity_change_m_per_s: f64,
    /// Joukowsky rise a dV/g, immediate closure, m.
    pub joukowsky_m: f64,
    /// Michaud's rise 2 L dV/(g T), for what is slower than the critical time, m.
    pub michaud_m: Option<f64>,
    /// Rise by the rigid column theory, K/2 + sqrt(K + K2/4) of the running head, m.
    pub rigid_m: Option<f64>,
    /// Rise by Allievi's interlocking equations, one pipe without friction, above the running head, m.
    pub interlocking_m: Option<f64>,
    /// Rule for a blocked nozzle, a V/(g n), m.
    pub blocked_jet_m: Option<f64>,
    /// Rise by the method of characteristics at the turbine, over the head it started from, m.
    pub marched_rise_m: f64,
    /// Fall by the method of characteristics at the turbine, m.
    pub marched_fall_m: Option<f64>,
}

/// The blow at filling.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct FillingSlam {
    /// Speed of the filling water, m/s.
    pub speed_m_per_s: f64,
    /// Highest wave speed on the line, m/s.
    pub wave_speed_m_per_s: f64,
    /// Rise when that water is stopped at once, m.
    pub rise_m: f64,
    /// Static pressure at the end of the line plus that rise, Pa.
    pub pressure_end_pa: f64,
}

/// How high water would rise in a narrow open standpipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WouldRise {
    /// Station, m.
    pub station_m: f64,
    /// Highest elevation of the water, m.
    pub level_m: f64,
}

/// How high the water rises in a standpipe: its own mass holds it back, so it stays below the head in the pipe where that is short.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StandpipeRise {
    /// Index into the line's stands.
    pub stand: usize,
    /// Highest elevation of the water, m: reckoned as if the rim were higher where `spills`.
    pub level_m: f64,
    /// It runs over its rim.
    pub spills: bool,
}

/// Something taken that the user may know better.
#[derive(Debug, Clone, PartialEq)]
pub enum SurgeAssumption {
    /// A standpipe or vent was left out: its bore is not known, it does not work, or its cock is shut. Index into the line's stands.
    StandLeftOut(usize),
    /// A standpipe or vent was counted. Index into the line's stands.
    StandCounted(usize),
    /// A fixed flow was taken as a nozzle that passes it at its running head.
    FlowAsNozzle,
    /// The state is limited by a crest or the stream: it was marched as a full line with the same flow.
    RanFull,
}

/// A movement that could not be marched.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct NotMarched {
    /// Its name.
    pub movement: String,
    /// Why.
    pub why: WhyNotMarched,
}

/// Why a movement could not be marched.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum WhyNotMarched {
    /// No running state has that name, or it could not be worked out.
    NoState(RunState),
    /// Nothing that could move runs in that state.
    NothingMoves,
    /// The line has no pipe, or a pipe of no length or bore.
    NoPipe,
    /// What moves cannot be shut.
    NotAValve,
    /// It is so slow, or comes after so many others, that marching it would take too long.
    TooMuch,
    /// It was marched; that many were before it that its shortest safe time was not looked for.
    NotSearched,
}

/// What the line may take at each station of its grid, for the search.
#[derive(Debug, Clone, PartialEq)]
pub struct Allowed {
    /// Largest total pressure of a routine movement, Pa gauge; infinite where nothing limits.
    pub routine_pa: Vec<f64>,
    /// Largest total pressure of a rare movement, Pa gauge.
    pub rare_pa: Vec<f64>,
    /// Least pressure allowed, Pa gauge (negative); the boiling pressure limits besides.
    pub least_pa: Vec<f64>,
}

/// How the study is to be made.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SurgeOptions {
    /// Limits for the search; `None`: no search.
    pub allowed: Option<Allowed>,
    /// A climb without a vent may hold air: every figure is then marked not valid.
    pub climb_may_hold_air: bool,
    /// The envelope alone: neither the search for the shortest time nor heads against time.
    pub envelope_only: bool,
    /// What the pipe meets alone: highest and lowest heads and whether the water parts. No times, no water in standpipes; with `envelope_only`.
    pub pressures_only: bool,
    /// Nodes times steps that count as marched already: what earlier rounds of one study took is not there for this one.
    pub spent: u64,
}
