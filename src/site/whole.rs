use super::parts::{
    Case, Draw, Fitting, FloodReach, Gauge, GroundReach, LaidReach, Mark, Movement, Turbine,
};
use super::survey::{Survey, WorkOrder};
use super::{At, Said};
use crate::pipe::{Condition, Entrance, IntakeKind, Joint, Own};
use crate::unit::Units;
use std::path::PathBuf;

/// A site as the user declares it. What is `None` was not said: `line` takes the default and tells it.
#[derive(Debug, Clone, PartialEq)]
pub struct Site {
    /// The file, as the user named it; empty for text made from options.
    pub file: String,
    /// Title, free text.
    pub title: Option<String>,
    /// How results are shown, where said.
    pub units: Option<Units>,
    /// The survey.
    pub survey: Survey,
    /// Place and weather.
    pub situation: Situation,
    /// The water.
    pub water: Water,
    /// The intake; `None`: there is no `[intake]`.
    pub intake: Option<Intake>,
    /// Pipes in order from the intake; empty: the route is judged alone.
    pub pipes: Vec<PipeRun>,
    /// How the pipe sits, by reach.
    pub laid: Vec<LaidReach>,
    /// What the water passes through.
    pub fittings: Vec<Fitting>,
    /// What stands on the line or is planned.
    pub marks: Vec<Mark>,
    /// The turbine; `None`: nothing runs.
    pub turbine: Option<Turbine>,
    /// Water taken off the line.
    pub draws: Vec<Draw>,
    /// Running states beside the standing ones.
    pub cases: Vec<Case>,
    /// The stream.
    pub stream: Option<Stream>,
    /// Movements of valves and jets.
    pub movements: Vec<Movement>,
    /// What gauges showed.
    pub gauges: Vec<Gauge>,
    /// Ground by reach.
    pub ground: Vec<GroundReach>,
    /// Floods by reach.
    pub floods: Vec<FloodReach>,
    /// What a regrade must reach.
    pub regrade: Regrade,
    /// Reaches that must stay as they are.
    pub fixed: Vec<(Said<At>, Said<At>)>,
    /// The user's own limits.
    pub limits: Limits,
}

impl Site {
    /// A survey's file as a path: as written where it is absolute, else from the folder of the site file.
    pub fn path_of(&self, file: &Said<String>) -> PathBuf {
        super::path_beside(&self.file, &file.value)
    }
}

/// What `[site]` says.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Situation {
    /// Latitude, degrees.
    pub latitude_deg: Option<f64>,
    /// Altitude above the sea, m.
    pub altitude_m: Option<f64>,
    /// Hottest air, C.
    pub hottest_air_c: Option<f64>,
    /// Coldest air, C.
    pub coldest_air_c: Option<f64>,
    /// Exposed pipe stands in the sun.
    pub sun: Option<bool>,
    /// Depth of frost, m.
    pub frost_depth_m: Option<f64>,
}

/// What `[water]` says.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Water {
    /// Usual temperature, C.
    pub temperature_c: Option<f64>,
    /// Coldest, C.
    pub coldest_c: Option<f64>,
    /// Warmest, C.
    pub warmest_c: Option<f64>,
}

/// What `[intake]` says.
#[derive(Debug, Clone, PartialEq)]
pub struct Intake {
    /// Still water above the pipe's centre at its mouth, m.
    pub water_level_m: Option<f64>,
    /// The same at its lowest, m.
    pub low_level_m: Option<f64>,
    /// The same in flood, m.
    pub flood_level_m: Option<f64>,
    /// Shape of the mouth.
    pub entrance: Option<Entrance>,
    /// The user's own loss coefficient of the mouth.
    pub entrance_k: Option<f64>,
    /// What kind of intake.
    pub kind: Option<IntakeKind>,
    /// Loss coefficient of the clear screen.
    pub screen_k: Option<f64>,
    /// Where `[intake]` stands.
    pub said: Said<()>,
}

/// One `[[pipe]]`: from the end of the one above it, or the intake, to `to`.
#[derive(Debug, Clone, PartialEq)]
pub struct PipeRun {
    /// Words that match one row of the catalogue.
    pub spec: Option<Said<String>>,
    /// The user's own figures, beside or instead of `spec`.
    pub own: Own,
    /// Where it begins, where said; it must be where the one above ends.
    pub from: Option<Said<At>>,
    /// Where it ends; the last one needs none.
    pub to: Option<Said<At>>,
    /// How its pieces are joined.
    pub joint: Option<Said<Joint>>,
    /// What a joint may take, Pa.
    pub joint_rating_pa: Option<f64>,
    /// Lengths that its coils or sticks can be bought in, m.
    pub pieces_m: Vec<f64>,
    /// Comes in coils.
    pub coil: Option<bool>,
    /// Joints that are there already.
    pub joints_at: Vec<Said<At>>,
    /// Laid already (true) or planned (false).
    pub is_laid: Option<bool>,
    /// What is known of its past.
    pub condition: Option<Condition>,
    /// Share of the rating that is left, over 0 to 1.
    pub derate: Option<f64>,
    /// The user's own surge allowance: largest total pressure over the rating.
    pub surge_allowance: Option<f64>,
    /// Price a metre, in the user's money.
    pub price_per_m: Option<f64>,
    /// Where it stands.
    pub said: Said<()>,
}

/// What `[stream]` says.
#[derive(Debug, Clone, PartialEq)]
pub struct Stream {
    /// One flow, or twelve by month from January, m3/s.
    pub flow_m3_per_s: Vec<f64>,
    /// What must stay in the stream, m3/s.
    pub leave_m3_per_s: Option<f64>,
}

/// What `[regrade]` says.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Regrade {
    /// Least fall, rise over level distance.
    pub least_grade: Option<f64>,
    /// Price of digging, relative, per metre of depth and length.
    pub dig_price: Option<f64>,
    /// Price of propping, relative, per metre of height and length.
    pub prop_price: Option<f64>,
    /// Deepest cut allowed, m.
    pub deepest_m: Option<f64>,
    /// Highest prop allowed, m.
    pub highest_m: Option<f64>,
}

/// What `[limits]` says.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Limits {
    /// Least working pressure below the air's, m of water, positive.
    pub suction_m: Option<f64>,
    /// Highest velocity, m/s.
    pub velocity_m_per_s: Option<f64>,
    /// Speed of filling, m/s.
    pub fill_speed_m_per_s: Option<f64>,
    /// Order of levelling that the misclosure is held to.
    pub misclosure: Option<WorkOrder>,
}
