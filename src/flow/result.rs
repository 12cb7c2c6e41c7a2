//! What a running state comes to: flow, heads, where each metre went, pressures along the line.

use super::checks::{ByHazen, Carrying};
use crate::line::CaseWish;
use crate::pipe::RunState;
use crate::unit::physics::WaterProperties;

/// One running state of the plant, worked out.
///
/// Heads are metres of water at the site's gravity; grade lines are elevations in the survey's datum; pressures are gauge against the site's air.
/// `gross_head_m - net_head_m` equals the sum of the listed losses to rounding.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Run {
    /// Which state, and what it was worked out for.
    pub wish: CaseWish,
    /// Elevation of the still water, m.
    pub level_m: f64,
    /// Flow at the turbine, m3/s; flow further up is larger by what is taken off on the way.
    pub flow_m3_per_s: f64,
    /// Its standard deviation, m3/s.
    pub flow_sd_m3_per_s: f64,
    /// Still water to the nozzles' axis, m.
    pub gross_head_m: f64,
    /// Its standard deviation, m.
    pub gross_head_sd_m: f64,
    /// Total head at the nozzles above their axis, m.
    pub net_head_m: f64,
    /// Its standard deviation, m.
    pub net_head_sd_m: f64,
    /// Where every metre between gross and net went.
    pub losses: Losses,
    /// Highest velocity in the pipe, m/s.
    pub velocity_max_m_per_s: f64,
    /// Where it stands, m.
    pub velocity_max_station_m: f64,
    /// Gauge pressure at the pipe's end, Pa: on its centre, the velocity head taken off.
    pub pressure_turbine_pa: f64,
    /// Its standard deviation, Pa.
    pub pressure_turbine_sd_pa: f64,
    /// Each jet that runs.
    pub jets: Vec<JetRun>,
    /// Density times gravity times flow times net head, W.
    pub water_power_w: f64,
    /// Its standard deviation, W.
    pub water_power_sd_w: f64,
    /// Power of the free jets, W; `None` for a machine that is not jets.
    pub jet_power_w: Option<f64>,
    /// Electrical power; `None` unless the user stated an efficiency.
    pub electrical: Option<Electrical>,
    /// Why the line does not run full; `None` where it does.
    pub limited: Option<Limited>,
    /// Grade line and pressure at each station of the line's grid, in its order.
    pub points: Vec<GradePoint>,
    /// The state of the water reach by reach, in order, parted where water is taken off.
    pub stretches: Vec<Stretch>,
    /// What the doubts of flow, net head and power are made of; empty for a state that stands still.
    pub doubts: Vec<DoubtPart>,
    /// The same state with the pipe slimed or rusted; `None` when shut or where new and old roughness agree.
    pub aged: Option<Aged>,
    /// Each stretch held against what silt needs; empty when shut.
    pub silt: Vec<Carrying>,
    /// The friction by an older law beside it, for comparison; `None` when shut.
    pub by_hazen: Option<ByHazen>,
    /// The water it was computed with.
    pub water: WaterProperties,
}

impl Run {
    /// Which state it is.
    pub fn state(&self) -> &RunState {
        &self.wish.state
    }

    /// Whether anything flows.
    pub fn flows(&self) -> bool {
        self.flow_m3_per_s > 0.0
    }

    /// Velocity in the pipe at a station, m/s; where two stretches meet, in the upper one.
    pub fn velocity_m_per_s(&self, station_m: f64) -> f64 {
        self.stretch_at(station_m)
            .map_or(0.0, |s| s.velocity_m_per_s)
    }

    /// The stretch a station lies in; where two meet, the upper one.
    pub fn stretch_at(&self, station_m: f64) -> Option<&Stretch> {
        self.stretches
            .iter()
            .find(|s| station_m <= s.to_m)
            .or(self.stretches.last())
    }

    /// Share of the gross head that is lost, 0 to 1.
    pub fn loss_share(&self) -> f64 {
        if self.gross_head_m > 0.0 {
            self.losses.total_m() / self.gross_head_m
        } else {
            0.0
        }
    }
}

/// Where the head went.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Losses {
    /// Along the pipe walls, m.
    pub friction_m: f64,
    /// At the mouth, the screen, fittings, bends and changes of bore, m.
    pub local_m: f64,
    /// Against air that stands in the pipe, m.
    pub air_m: f64,
    /// Where the pipe runs part-full and the water falls freely in it, m.
    pub fall_m: f64,
    /// Each loss by itself, in station order.
    pub items: Vec<Loss>,
}

impl Losses {
    /// What the pipe and its fittings take, m: a larger one takes less.
    pub fn in_pipe_m(&self) -> f64 {
        self.friction_m + self.local_m
    }

    /// The four together, m.
    pub fn total_m(&self) -> f64 {
        self.in_pipe_m() + self.air_m + self.fall_m
    }
}

/// One loss.
#[derive(Debug, Clone, PartialEq)]
pub struct Loss {
    /// What takes it.
    pub by: LossSource,
    /// Where it begins, m.
    pub from_m: f64,
    /// Where it ends, m; the same for a loss at a point.
    pub to_m: f64,
    /// Loss coefficient on the velocity head there (friction: f L / D); 0 for a fall and for air.
    pub k: f64,
    /// Head taken, m.
    pub head_m: f64,
    /// The coefficient rests on memory or on a secondary source.
    pub from_memory: bool,
}

/// What takes head.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LossSource {
    /// The mouth of the pipe.
    Entrance,
    /// The screen before it.
    Screen,
    /// The wall of a reach: index into the line's reaches.
    Wall(usize),
    /// A fitting: index into the line's fittings.
    Fitting(usize),
    /// A bend of the route: index into the line's bends.
    Bend(usize),
    /// The change of bore above a reach: index into the line's reaches.
    ChangeOfBore(usize),
    /// Air that stands in the pipe.
    Air,
    /// A part-full stretch.
    Fall,
}

/// The state of the water between two stations of one bore and one flow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Index into the line's reaches.
    pub reach: usize,
    /// Flow, m3/s.
    pub flow_m3_per_s: f64,
    /// Mean velocity in the full bore, m/s.
    pub velocity_m_per_s: f64,
    /// Reynolds number.
    pub reynolds: f64,
    /// How it flows.
    pub regime: Regime,
    /// Darcy friction factor; 0 when nothing flows.
    pub friction_factor: f64,
}

crate::text::words! {
    /// How water flows in the pipe.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum Regime {
        /// It stands.
        Still = "still",
        /// Reynolds number under 2,000.
        Laminar = "laminar",
        /// 2,000 to 4,000: no law holds there; the factor is joined straight between the two.
        Between = "between",
        /// Over 4,000.
        Turbulent = "turbulent",
    }
}

/// Grade line and pressure at a station of the grid. Where a step stands there (fitting, change of bore) the upper and the lower side differ.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct GradePoint {
    /// Station, m.
    pub station_m: f64,
    /// Elevation to which water would rise in an open tube, on the upper side, m.
    pub grade_line_m: f64,
    /// The same on the lower side, m.
    pub grade_line_below_m: f64,
    /// The same with the velocity head, on the upper side, m.
    pub energy_line_m: f64,
    /// Gauge pressure on the pipe's centre, on the upper side, Pa.
    pub pressure_pa: f64,
    /// The same on the lower side, Pa.
    pub pressure_below_pa: f64,
    /// The pipe runs part-full here: the pressure is the air's.
    pub part_full: bool,
}

/// A jet that runs.
#[derive(Debug, Clone, PartialEq)]
pub struct JetRun {
    /// Index into the outlet's jets.
    pub jet: usize,
    /// Its flow, m3/s.
    pub flow_m3_per_s: f64,
    /// Speed of the free jet, m/s.
    pub speed_m_per_s: f64,
    /// Diameter of the free jet where it is narrowest, m.
    pub diameter_m: f64,
}

/// Electrical power by the user's efficiency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Electrical {
    /// As computed, W.
    pub power_w: f64,
    /// With the pipe slimed and two standard deviations down, W.
    pub low_w: f64,
    /// Two standard deviations up, W.
    pub high_w: f64,
}

/// One part of the doubt: what a standard deviation of one cause does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DoubtPart {
    /// The cause.
    pub of: DoubtOf,
    /// Change of flow, m3/s.
    pub flow_m3_per_s: f64,
    /// Change of net head, m.
    pub net_head_m: f64,
    /// Change of water power, W.
    pub power_w: f64,
    /// Change of pressure at the turbine, Pa.
    pub pressure_pa: f64,
}

crate::text::words! {
    /// What a doubt comes from.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum DoubtOf {
        /// The drop, as surveyed.
        Survey = "survey",
        /// The bore within the tolerance of its making.
        Bore = "bore",
        /// The friction law against measured pipes.
        Friction = "friction law",
        /// Anything between new and slimed.
        Roughness = "roughness, new to slimed",
    }
}

/// A state with the pipe slimed.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Aged {
    /// Flow, m3/s.
    pub flow_m3_per_s: f64,
    /// Net head: total head at the nozzle, above its axis, m.
    pub net_head_m: f64,
    /// Hydraulic power (rho g Q net head), W.
    pub water_power_w: f64,
    /// Pressure at the turbine, on the pipe side of its valve, Pa.
    pub pressure_turbine_pa: f64,
}

/// Why the line does not run full, and what would help.
#[derive(Debug, Clone, PartialEq)]
pub struct Limited {
    /// What limits it.
    pub by: LimitedBy,
    /// The governing station, m.
    pub station_m: f64,
    /// An open vent there, or in the stretch around that a full line would suck at, lets air in.
    pub vented: bool,
    /// Gauge head there if the line ran sealed and full, m of water, negative below the air; `None` where physics forbids it.
    pub suction_m: Option<f64>,
    /// The lowest gauge head that can be worked with there, m (negative).
    pub working_limit_m: f64,
    /// Gauge head at which the water boils there, m (negative).
    pub boiling_limit_m: f64,
    /// From where the pipe runs full again, m.
    pub full_again_m: f64,
    /// What the line would carry airtight and full: at best and for a while. `None` where the water would boil.
    pub at_best: Option<AtBest>,
    /// What would help, each with its number, in the order of least effort.
    pub remedies: Vec<Remedy>,
}

crate::text::words! {
    /// What limits the flow.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum LimitedBy {
        /// A point above the grade line, beyond the working suction or with an open vent.
        Crest = "crest",
        /// The same, so far above that the water would boil.
        Boiling = "boiling",
        /// The stream gives less than the jets ask for.
        Stream = "stream",
    }
}

/// What a sealed line would carry.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct AtBest {
    /// Flow, m3/s.
    pub flow_m3_per_s: f64,
    /// Net head: total head at the nozzle, above its axis, m.
    pub net_head_m: f64,
    /// Hydraulic power (rho g Q net head), W.
    pub water_power_w: f64,
}

/// A way out, with its number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Remedy {
    /// Throttle at the bottom: smaller or fewer jets, so that no more than this flows and the line stays full.
    Throttle {
        /// Flow, m3/s.
        flow_m3_per_s: f64,
        /// Net head then, m.
        net_head_m: f64,
        /// Water power then, W.
        water_power_w: f64,
        /// Area of the jets over what they have now.
        area_share: f64,
    },
    /// Lower the pipe at the governing station by so much, m.
    LowerCrest {
        /// How much, m.
        by_m: f64,
    },
    /// A larger pipe from the intake to just past the governing station.
    LargerUpperPipe {
        /// Bore, m.
        bore_m: f64,
    },
    /// Remove or shut the vent: the line then holds its suction, and loses its guard against collapse there.
    ShutVent,
}

crate::text::by_word! {
    Remedy {
        Self::Throttle { .. } => "throttle",
        Self::LowerCrest { .. } => "lower the crest",
        Self::LargerUpperPipe { .. } => "larger upper pipe",
        Self::ShutVent => "shut the vent",
    }
}

/// A state that could not be worked out, and why.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct NotRun {
    /// Which state.
    pub state: RunState,
    /// Why.
    pub why: WhyNot,
}

/// Why a state cannot be worked out.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum WhyNot {
    /// The nozzles stand at or above the still water: so much head, m.
    NoHead {
        /// Still water less nozzle axis, m.
        gross_head_m: f64,
    },
    /// More is asked for than the pipe passes with its end open.
    TooMuch {
        /// Asked for, m3/s.
        asked_m3_per_s: f64,
        /// The most it passes, m3/s.
        most_m3_per_s: f64,
    },
    /// What is taken off on the way uses up the head.
    TapsTakeAll,
    /// A valve on the way is shut.
    ValveShut {
        /// Index into the line's fittings.
        fitting: usize,
    },
    /// The jets named have no open area, or there are none.
    NoJets,
    /// The line has no pipe, or a pipe of no bore.
    NoPipe,
    /// A fitting whose loss only the user can say: give it its own `k`.
    NoCoefficient {
        /// Index into the line's fittings.
        fitting: usize,
    },
    /// The screen is blocked whole.
    ScreenBlocked,
    /// The search for the flow did not settle.
    NotSettled,
}

/// The running states of a line: those that could be worked out, and those that could not.
#[derive(Debug, Clone, Default, PartialEq)]
#[non_exhaustive]
pub struct Cases {
    /// In order: shut, each number of jets, all jets or running, the user's.
    pub runs: Vec<Run>,
    /// What could not be worked out.
    pub not_run: Vec<NotRun>,
}

impl Cases {
    /// The state, where it could be worked out.
    pub fn of(&self, state: &RunState) -> Option<&Run> {
        self.runs.iter().find(|r| r.state() == state)
    }

    /// The line at rest.
    pub fn shut(&self) -> Option<&Run> {
        self.of(&RunState::Shut)
    }

    /// The state with the largest flow.
    pub fn largest_flow(&self) -> Option<&Run> {
        self.runs
            .iter()
            .max_by(|a, b| a.flow_m3_per_s.total_cmp(&b.flow_m3_per_s))
    }
}
