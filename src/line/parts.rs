//! What stands on a line: fittings, marks, jets, cases, movements, gauges, ground, floods.

use crate::pipe::{
    Bed, Debris, Device, Dig, Entrance, FittingKind, IntakeKind, Law, Machine, MarkKind, Often,
    RunState, Soil, Traffic, Trench, WaterLevel, WorkingState,
};
use crate::site::Mover;

/// The mouth of the pipe at the intake.
#[derive(Debug, Clone, PartialEq)]
pub struct Inlet {
    /// Elevation of the still water, m.
    pub level_m: f64,
    /// Lowest, m.
    pub low_level_m: f64,
    /// In flood, m.
    pub flood_level_m: f64,
    /// Whether the user gave the usual level (else it is taken at the pipe's centre and said).
    pub level_known: bool,
    /// Shape of the mouth.
    pub entrance: Entrance,
    /// The user's own loss coefficient on the first bore.
    pub entrance_k: Option<f64>,
    /// The user's own loss coefficient of the screen, clear, on the first bore.
    pub screen_k: Option<f64>,
    /// What kind of intake.
    pub kind: IntakeKind,
}

/// How the pipe sits from station to station.
#[derive(Debug, Clone, PartialEq)]
pub struct Laid {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// How.
    pub bed: Bed,
    /// Cover over the pipe, m (buried).
    pub cover_m: Option<f64>,
    /// Height of the pipe's centre above the surveyed line, m (raised).
    pub height_m: Option<f64>,
    /// Traffic over it (buried).
    pub traffic: Traffic,
    /// Its trench (buried).
    pub trench: Trench,
}

/// Something the water passes through.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitting {
    /// Where, m.
    pub station_m: f64,
    /// What.
    pub kind: FittingKind,
    /// What the user calls it; else its kind.
    pub name: String,
    /// The user's own loss coefficient, on the bore at its station.
    pub k: Option<f64>,
    /// Share open, 0 to 1.
    pub open: f64,
    /// Angle of an elbow or mitre, rad.
    pub angle_rad: Option<f64>,
    /// The elbow turns in plan (else in profile), where said.
    pub in_plan: Option<bool>,
    /// Its own bore, m, where it differs from the pipe's.
    pub bore_m: Option<f64>,
    /// What it may take, Pa.
    pub rating_pa: Option<f64>,
}

/// What stands on the line, or is planned.
#[derive(Debug, Clone, PartialEq)]
pub struct Appurtenance {
    /// What.
    pub kind: MarkKind,
    /// Where, m.
    pub station_m: f64,
    /// What lets the air through (vents).
    pub device: Option<Device>,
    /// Bore, m.
    pub bore_m: Option<f64>,
    /// Top of a standpipe above the pipe, m.
    pub top_m: Option<f64>,
    /// Its isolating cock is open.
    pub cock_open: bool,
    /// State.
    pub state: WorkingState,
    /// What it holds, N (straps, anchors).
    pub strength_n: Option<f64>,
    /// Pressure it opens at, Pa (relief).
    pub opens_at_pa: Option<f64>,
    /// Slack that a loop gives, m.
    pub slack_m: Option<f64>,
    /// What the user calls it.
    pub name: String,
}

/// What the water leaves by.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlet {
    /// Jets, or a fixed flow.
    pub how: Discharge,
    /// Axis of the nozzles above the pipe's last point, m.
    pub nozzle_height_m: f64,
    /// Electrical output over the water's, where stated.
    pub water_to_wire: Option<f64>,
}

/// What a machine that is no jet does when its load is gone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Runaway {
    /// What it is.
    pub machine: Machine,
    /// Least and largest flow at runaway over the flow before, at the same head.
    pub flow: (f64, f64),
    /// How long it takes to get there, s.
    pub over_s: f64,
    /// How long guide vanes or a valve then take to shut by themselves, s, where they do.
    pub closing_s: Option<f64>,
}

/// Jets or a fixed flow.
#[derive(Debug, Clone, PartialEq)]
pub enum Discharge {
    /// Jets, each by itself.
    Jets(Vec<Jet>),
    /// A fixed flow, m3/s, through a machine that is not jets (or in surge a nozzle that passes it at its running head).
    Flow(f64),
}

impl Discharge {
    /// The states that the plant has by itself, each with what runs in it.
    pub fn states(way: Option<&Self>) -> Vec<(RunState, Running)> {
        let (states, count) = match way {
            Some(Self::Jets(jets)) => (RunState::of_jets(jets.len()), jets.len()),
            Some(Self::Flow(_)) => (RunState::of_flow(), 0),
            None => (vec![RunState::Shut], 0),
        };
        states
            .into_iter()
            .map(|state| {
                let runs = match (&state, way) {
                    (RunState::Jets(n), _) => Running::Jets((0..*n).collect()),
                    (RunState::AllJets, _) => Running::Jets((0..count).collect()),
                    (RunState::Running, Some(Self::Flow(flow))) => Running::Flow(*flow),
                    _ => Running::Shut,
                };
                (state, runs)
            })
            .collect()
    }

    /// The state in which everything runs, and what runs in it; shut where there is nothing to run.
    pub fn everything(way: Option<&Self>) -> (RunState, Running) {
        Self::states(way)
            .pop()
            .unwrap_or((RunState::Shut, Running::Shut))
    }
}

/// A nozzle.
#[derive(Debug, Clone, PartialEq)]
pub struct Jet {
    /// What it is called.
    pub name: String,
    /// The hole, m.
    pub nozzle_diameter_m: f64,
    /// Share open, 0 to 1.
    pub open: f64,
    /// Discharge coefficient on the hole and the total head.
    pub discharge_coefficient: f64,
    /// Velocity coefficient.
    pub velocity_coefficient: f64,
}

impl Jet {
    /// Area of the hole times its opening, m2.
    pub fn area_m2(&self) -> f64 {
        std::f64::consts::FRAC_PI_4 * self.nozzle_diameter_m * self.nozzle_diameter_m * self.open
    }
}

/// Water taken off the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tap {
    /// Where, m.
    pub station_m: f64,
    /// How much, m3/s.
    pub flow_m3_per_s: f64,
}

/// A running state the user wants to see.
#[derive(Debug, Clone, PartialEq)]
pub struct CaseWish {
    /// Which state.
    pub state: RunState,
    /// What runs.
    pub running: Running,
    /// Water level at the intake.
    pub level: WaterLevel,
    /// Share open of named fittings in this case.
    pub fittings_open: Vec<(String, f64)>,
    /// Share of the screen that is blocked.
    pub screen_blocked: f64,
}

impl CaseWish {
    /// A state at the usual water level, with every fitting as the line has it and the screen clear.
    pub fn usual(state: RunState, running: Running) -> Self {
        Self {
            state,
            running,
            level: WaterLevel::Usual,
            fittings_open: Vec::new(),
            screen_blocked: 0.0,
        }
    }

    /// Share open of a fitting in this state, which may say otherwise than the line.
    pub fn open(&self, fitting: &Fitting) -> f64 {
        self.fittings_open
            .iter()
            .find(|(name, _)| *name == fitting.name)
            .map_or(fitting.open, |(_, open)| *open)
    }
}

/// What runs in a case.
#[derive(Debug, Clone, PartialEq)]
pub enum Running {
    /// Nothing.
    Shut,
    /// Indexes into the outlet's jets.
    Jets(Vec<usize>),
    /// A fixed flow, m3/s.
    Flow(f64),
}

/// A movement of a valve or of jets.
#[derive(Debug, Clone, PartialEq)]
pub struct Movement {
    /// Its name.
    pub name: String,
    /// What moves.
    pub of: Mover,
    /// The state it starts from.
    pub during: RunState,
    /// Share open at the start.
    pub from: f64,
    /// Share open at the end.
    pub to: f64,
    /// How long it takes, s.
    pub over_s: f64,
    /// What the share counts.
    pub law: Law,
    /// How often.
    pub often: Often,
}

/// What a gauge showed.
#[derive(Debug, Clone, PartialEq)]
pub struct Gauge {
    /// Where, m.
    pub station_m: f64,
    /// Dial above the pipe's centre there, m.
    pub height_m: f64,
    /// State of the plant.
    pub state: RunState,
    /// Reading, Pa.
    pub pressure_pa: f64,
    /// Standard deviation of the reading, Pa.
    pub pressure_sd_pa: f64,
    /// Measured flow, m3/s.
    pub flow_m3_per_s: Option<f64>,
    /// Standard deviation of the flow, m3/s.
    pub flow_sd_m3_per_s: Option<f64>,
}

/// Ground from station to station.
#[derive(Debug, Clone, PartialEq)]
pub struct Ground {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Soil, where said.
    pub soil: Option<Soil>,
    /// Friction of the pipe on it, where said.
    pub friction: Option<f64>,
    /// How easily it is dug.
    pub dig: Dig,
}

/// A flood over a reach.
#[derive(Debug, Clone, PartialEq)]
pub struct Flood {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Speed of the water, m/s.
    pub speed_m_per_s: f64,
    /// Depth, m.
    pub depth_m: f64,
    /// What it carries.
    pub debris: Debris,
}
