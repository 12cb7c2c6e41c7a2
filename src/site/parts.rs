use super::{Date, DeclaredPlace, GaugeAt, Located};
use crate::pipe::{
    Bed, Debris, Device, Dig, FittingKind, Law, Machine, MarkKind, Often, RunState, Soil, Traffic,
    Trench, WaterLevel, WorkingState,
};

/// `[[laid]]`: how the pipe sits over a reach.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidReach {
    /// From.
    pub from: Located<DeclaredPlace>,
    /// To.
    pub to: Located<DeclaredPlace>,
    /// How.
    pub bed: Bed,
    /// Cover over the pipe, m (buried).
    pub cover_m: Option<f64>,
    /// Pipe's centre above the surveyed line, m (raised).
    pub height_m: Option<f64>,
    /// Traffic over it, where said.
    pub traffic: Option<Traffic>,
    /// Its trench (buried).
    pub trench: Trench,
}

/// `[[fitting]]`: something the water passes through.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredFitting {
    /// Where.
    pub at: Located<DeclaredPlace>,
    /// What; `Other` where only `k` was said.
    pub kind: FittingKind,
    /// What the user calls it.
    pub name: Option<Located<String>>,
    /// The user's own loss coefficient, on the bore at its station.
    pub k: Option<f64>,
    /// Share open, 0 to 1.
    pub open: Option<f64>,
    /// Angle of an elbow or mitre, rad.
    pub angle_rad: Option<f64>,
    /// It turns in plan (true) or in profile (false), where said.
    pub in_plan: Option<bool>,
    /// Its own bore, m.
    pub bore_m: Option<f64>,
    /// What it may take, Pa.
    pub rating_pa: Option<f64>,
}

/// `[[mark]]`: what stands on the line, or is planned.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredMark {
    /// What.
    pub kind: MarkKind,
    /// Where.
    pub at: Located<DeclaredPlace>,
    /// What lets the air through (vents).
    pub device: Option<Device>,
    /// Bore, m.
    pub bore_m: Option<f64>,
    /// Top of a standpipe above the pipe, m.
    pub top_m: Option<f64>,
    /// Its cock is open, where said.
    pub cock_open: Option<bool>,
    /// State, where said.
    pub state: Option<WorkingState>,
    /// What it holds, N.
    pub strength_n: Option<f64>,
    /// Pressure it opens at, Pa (relief).
    pub opens_at_pa: Option<f64>,
    /// Slack that a loop gives, m.
    pub slack_m: Option<f64>,
    /// What the user calls it.
    pub name: Option<Located<String>>,
}

/// `[turbine]` and `[[jet]]`: what the water leaves by.
#[derive(Debug, Clone, PartialEq)]
pub struct Turbine {
    /// Jets or a fixed flow.
    pub way: WaterWay,
    /// Axis of the nozzles above the pipe's last point, m.
    pub nozzle_height_m: Option<f64>,
    /// Electrical output over the water's.
    pub water_to_wire: Option<f64>,
    /// What it is.
    pub machine: Machine,
    /// What it does when its load is gone.
    pub runaway: DeclaredRunaway,
    /// Where it stands.
    pub said: Located<()>,
}

/// What a machine does when its load is gone, where said.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct DeclaredRunaway {
    /// Flow then over the flow before.
    pub flow: Option<f64>,
    /// How long it takes to get there, s.
    pub over_s: Option<f64>,
    /// How long guide vanes or a valve then take to shut by themselves, s.
    pub closing_s: Option<f64>,
}

/// Jets or a fixed flow.
#[derive(Debug, Clone, PartialEq)]
pub enum WaterWay {
    /// Jets, each by itself; at least one.
    Jets(Vec<DeclaredJet>),
    /// A fixed flow, m3/s.
    Flow(f64),
}

impl Turbine {
    /// The states that the plant has by itself.
    pub fn states(turbine: Option<&Self>) -> Vec<RunState> {
        match turbine.map(|t| &t.way) {
            Some(WaterWay::Jets(jets)) => RunState::of_jets(jets.len()),
            Some(WaterWay::Flow(_)) => RunState::of_flow(),
            None => vec![RunState::Shut],
        }
    }
}

/// A nozzle. The short form `jets = 4` names them "1" to "4".
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredJet {
    /// What it is called.
    pub name: String,
    /// The hole, m.
    pub nozzle_diameter_m: f64,
    /// Share open, 0 to 1, where said.
    pub open: Option<f64>,
    /// Discharge coefficient, where said.
    pub discharge_coefficient: Option<f64>,
    /// Velocity coefficient, where said.
    pub velocity_coefficient: Option<f64>,
}

/// `[[draw]]`: water taken off the line.
#[derive(Debug, Clone, PartialEq)]
pub struct Draw {
    /// Where.
    pub at: Located<DeclaredPlace>,
    /// How much, m3/s.
    pub flow_m3_per_s: f64,
}

/// `[[case]]`: a running state to compute beside the standing ones.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredCase {
    /// Which state: its own name's, or one that the plant has by itself and that is meant otherwise.
    pub state: Located<RunState>,
    /// What runs.
    pub runs: CaseRuns,
    /// Water level at the intake.
    pub level: WaterLevel,
    /// Share open of named fittings in this case.
    pub fittings_open: Vec<(Located<String>, f64)>,
    /// Share of the screen that is blocked.
    pub screen_blocked: f64,
}

/// What runs in a case.
#[derive(Debug, Clone, PartialEq)]
pub enum CaseRuns {
    /// Every jet, or the turbine's own flow.
    All,
    /// Indexes into the turbine's jets, rising.
    Jets(Vec<usize>),
    /// A fixed flow, m3/s; 0 is shut.
    Flow(f64),
}

/// `[[movement]]`: a valve or jets move.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredMovement {
    /// Its name.
    pub name: Located<String>,
    /// What moves.
    pub of: Located<Mover>,
    /// The state it starts from; `None`: everything running.
    pub during: Option<Located<RunState>>,
    /// Share at the start.
    pub from: f64,
    /// Share at the end.
    pub to: f64,
    /// How long it takes, s.
    pub over_s: f64,
    /// What the share counts, where said.
    pub law: Option<Law>,
    /// How often, where said.
    pub often: Option<Often>,
}

/// What moves.
#[derive(Debug, Clone, PartialEq)]
pub enum Mover {
    /// All jets that run.
    Jets,
    /// One of the jets that run, blocked or shut.
    OneJet,
    /// A fitting: index into the site's fittings, or once on the line into the line's.
    Fitting(usize),
}

/// `[[gauge]]`: what a pressure gauge showed.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredGauge {
    /// Where.
    pub at: Located<GaugeAt>,
    /// Dial above the pipe there, m.
    pub height_m: Option<f64>,
    /// The state it was read in.
    pub state: Located<RunState>,
    /// Reading, Pa.
    pub pressure_pa: f64,
    /// The gauge's limit, Pa: +-.
    pub limit_pa: Option<f64>,
    /// Or the reading's standard deviation, Pa.
    pub sd_pa: Option<f64>,
    /// Measured flow, m3/s.
    pub flow_m3_per_s: Option<f64>,
    /// Limit of the flow, m3/s: +-.
    pub flow_limit_m3_per_s: Option<f64>,
    /// Or its standard deviation, m3/s.
    pub flow_sd_m3_per_s: Option<f64>,
    /// Day of the reading.
    pub date: Option<Date>,
}

/// `[[ground]]`: ground over a reach.
#[derive(Debug, Clone, PartialEq)]
pub struct GroundReach {
    /// From.
    pub from: Located<DeclaredPlace>,
    /// To.
    pub to: Located<DeclaredPlace>,
    /// Soil, where said.
    pub soil: Option<Soil>,
    /// Friction of the pipe on it, where said.
    pub friction: Option<f64>,
    /// How easily it is dug, where said.
    pub dig: Option<Dig>,
}

/// `[[flood]]`: a flood over a reach.
#[derive(Debug, Clone, PartialEq)]
pub struct FloodReach {
    /// From.
    pub from: Located<DeclaredPlace>,
    /// To.
    pub to: Located<DeclaredPlace>,
    /// Speed of the water, m/s.
    pub speed_m_per_s: f64,
    /// Depth, m.
    pub depth_m: f64,
    /// What it carries, where said.
    pub debris: Option<Debris>,
}
