use super::parts::{
    DeclaredCase, DeclaredFitting, DeclaredGauge, DeclaredMark, DeclaredMovement, Draw, FloodReach,
    GroundReach, LaidReach, Turbine,
};
use super::survey::DeclaredSurvey;
use super::works::{
    Basin, DeclaredCorrosion, DeclaredMetalPart, Grit, PressureTest, Record, Screen,
};
use super::{DeclaredPlace, Located};
use crate::pipe::{Condition, Entrance, IntakeKind, Joint, Own};
use crate::reading::LevellingOrder;
use crate::unit::Units;
use std::path::PathBuf;

/// A site as the user declares it. What is `None` was not said: `line` takes the default and tells it. Limits, wishes and a tape that were not said stand as usual.
#[derive(Debug, Clone, PartialEq)]
pub struct Site {
    /// The file, as the user named it; empty for text made from options.
    pub file: String,
    /// Title, free text.
    pub title: Option<String>,
    /// How results are shown, where said.
    pub units: Option<Units>,
    /// The survey.
    pub survey: DeclaredSurvey,
    /// Place and weather.
    pub situation: DeclaredSituation,
    /// The water.
    pub water: DeclaredWater,
    /// The intake; `None`: there is no `[intake]`.
    pub intake: Option<DeclaredIntake>,
    /// The screen before the pipe inlet; `None`: nothing was said of it.
    pub screen: Option<Screen>,
    /// What the water carries; `None`: nothing was said of it.
    pub grit: Option<Grit>,
    /// The settling basin; `None`: there is none, or nothing was said of it.
    pub basin: Option<Basin>,
    /// The pressure test as it was done; `None`: nothing was said of it.
    pub pressure_test: Option<PressureTest>,
    /// A record of filling and first running is asked for.
    pub record: Option<Record>,
    /// What attacks metal; `None`: nothing was said of it.
    pub corrosion: Option<DeclaredCorrosion>,
    /// Metal parts on the pipe.
    pub metals: Vec<DeclaredMetalPart>,
    /// Pipes in order from the intake; empty: the route is judged alone.
    pub pipes: Vec<PipeRun>,
    /// How the pipe sits, by reach.
    pub laid: Vec<LaidReach>,
    /// What the water passes through.
    pub fittings: Vec<DeclaredFitting>,
    /// What stands on the line or is planned.
    pub marks: Vec<DeclaredMark>,
    /// The turbine; `None`: nothing runs.
    pub turbine: Option<Turbine>,
    /// Water taken off the line.
    pub draws: Vec<Draw>,
    /// Running states beside the standing ones.
    pub cases: Vec<DeclaredCase>,
    /// The stream.
    pub stream: Option<DeclaredStream>,
    /// Movements of valves and jets.
    pub movements: Vec<DeclaredMovement>,
    /// What gauges showed.
    pub gauges: Vec<DeclaredGauge>,
    /// Books of gauge readings, by their files.
    pub gauge_books: Vec<Located<String>>,
    /// Ground by reach.
    pub ground: Vec<GroundReach>,
    /// Floods by reach.
    pub floods: Vec<FloodReach>,
    /// What a regrade must reach.
    pub regrade: RegradeWish,
    /// Reaches that must stay as they are.
    pub fixed: Vec<(Located<DeclaredPlace>, Located<DeclaredPlace>)>,
    /// The user's own limits.
    pub limits: Limits,
    /// Order of levelling that the misclosure is held to.
    pub misclosure: Option<LevellingOrder>,
    /// What is given of the title block of the drawings, in its order: heads and free texts.
    pub sheet: Vec<(&'static str, String)>,
    /// The user's price list, by its file.
    pub prices: Option<Located<String>>,
}

impl Site {
    /// A survey's file as a path: as written where it is absolute, else from the folder of the site file.
    pub fn path_of(&self, file: &Located<String>) -> PathBuf {
        super::path_beside(&self.file, &file.value)
    }
}

/// What `[site]` says.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct DeclaredSituation {
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
pub struct DeclaredWater {
    /// Usual temperature, C.
    pub temperature_c: Option<f64>,
    /// Coldest, C.
    pub coldest_c: Option<f64>,
    /// Warmest, C.
    pub warmest_c: Option<f64>,
}

/// What `[intake]` says.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct DeclaredIntake {
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
}

/// One `[[pipe]]`: from the end of the one above it, or the intake, to `to`.
#[derive(Debug, Clone, PartialEq)]
pub struct PipeRun {
    /// Words that match one row of the catalogue.
    pub spec: Option<Located<String>>,
    /// The user's own figures, beside or instead of `spec`.
    pub own: Own,
    /// Where it begins, where said; it must be where the one above ends.
    pub from: Option<Located<DeclaredPlace>>,
    /// Where it ends; the last one needs none.
    pub to: Option<Located<DeclaredPlace>>,
    /// How its pieces are joined.
    pub joint: Option<Located<Joint>>,
    /// What a joint may take, Pa.
    pub joint_rating_pa: Option<f64>,
    /// Lengths that its coils or sticks can be bought in, m.
    pub pieces_m: Vec<f64>,
    /// Comes in coils.
    pub coil: Option<bool>,
    /// Joints that are there already.
    pub joints_at: Vec<Located<DeclaredPlace>>,
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
    pub said: Located<()>,
}

impl PipeRun {
    /// Pipe of the catalogue, of which nothing else is said than where it ends.
    pub(crate) fn of_spec(spec: Located<String>, to: Option<Located<DeclaredPlace>>) -> Self {
        Self {
            said: spec.clone().map(|_| ()),
            spec: Some(spec),
            own: Own::default(),
            from: None,
            to,
            joint: None,
            joint_rating_pa: None,
            pieces_m: Vec::new(),
            coil: None,
            joints_at: Vec::new(),
            is_laid: None,
            condition: None,
            derate: None,
            surge_allowance: None,
            price_per_m: None,
        }
    }
}

/// What `[stream]` says.
#[derive(Debug, Clone, PartialEq)]
pub struct DeclaredStream {
    /// One flow, or twelve by month from January, m3/s; empty where only sheets of measurements are named.
    pub flow_m3_per_s: Vec<f64>,
    /// What must stay in the stream, m3/s.
    pub leave_m3_per_s: Option<f64>,
    /// Sheets of measurements.
    pub files: Vec<Located<String>>,
}

/// `[regrade]`: what a regrade may cost and must reach.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RegradeWish {
    /// Least fall, as a fraction.
    pub least_grade: f64,
    /// Price of digging, per metre of depth and length.
    pub dig_price: f64,
    /// Price of propping, per metre of height and length.
    pub prop_price: f64,
    /// Deepest cut allowed, m.
    pub deepest_m: Option<f64>,
    /// Highest prop allowed, m.
    pub highest_m: Option<f64>,
}

/// `[limits]`: limits the user set, or the defaults.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Least working pressure below the air's, m of water (positive), where the user said.
    pub suction_m: Option<f64>,
    /// Highest velocity, m/s.
    pub velocity_m_per_s: f64,
    /// Speed of filling, m/s.
    pub fill_speed_m_per_s: f64,
}

impl Default for Limits {
    /// 2.5 m/s running, 0.3 m/s filling; suction by joint and altitude.
    fn default() -> Self {
        Self {
            suction_m: None,
            velocity_m_per_s: 2.5,
            fill_speed_m_per_s: 0.3,
        }
    }
}

impl Default for RegradeWish {
    /// A fall of 1 in 100, digging and propping priced alike.
    fn default() -> Self {
        Self {
            least_grade: 0.01,
            dig_price: 1.0,
            prop_price: 1.0,
            deepest_m: None,
            highest_m: None,
        }
    }
}
