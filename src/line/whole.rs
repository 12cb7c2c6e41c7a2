use super::assumed::Assumed;
use super::metals::{Corrosion, MetalPart};
use super::parts::*;
use crate::gauging::Gauged;
use crate::heights::Heights;
use crate::pipe::{Condition, IntakeKind, Joint, Pipe, WaterLevel};
use crate::route::{Bend, Plan, Reckoning};
use crate::site::{Basin, Grit, Limits, PressureTest, Record, RegradeWish, Screen, SurveyedLine};
use std::ops::{Deref, DerefMut};

/// The pipe on its stations with everything on it, resolved: no names to look up, no unit to turn, every default taken and told.
///
/// Stations are metres along the pipe from its mouth at the intake (0) to its end at the turbine. Elevations are of the pipe's centre in the survey's datum.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What the sheets are headed with.
    pub heading: Heading,
    /// Where the pipe runs: its stations, heights, plan and bends.
    pub geometry: Geometry,
    /// Pipes in order from the intake, covering the line without gap.
    pub reaches: Reaches,
    /// What the water passes through, in order.
    pub fittings: Vec<Fitting>,
    /// What stands on the line or is planned, in order.
    pub stands: Vec<Appurtenance>,
    /// Water taken off on the way.
    pub taps: Vec<Tap>,
    /// The mouth of the pipe.
    pub intake: Inlet,
    /// What the water leaves by; `None`: nothing was said of the turbine, so nothing runs.
    pub outlet: Option<Outlet>,
    /// What the machine does when its load is gone; `None`: jets, or nothing was said of it.
    pub runaway: Option<Runaway>,
    /// What keeps stones and sand out, and what attacks metal.
    pub works: Works,
    /// What the user asks for beside what stands.
    pub wishes: Wishes,
    /// What was measured on the plant and its stream.
    pub measured: Measured,
    /// What surrounds the pipe: its bed, ground, floods, air, water, stream.
    pub environment: Environment,
    /// Every default that was taken.
    pub assumed: Vec<Assumed>,
}

/// What the sheets are headed with.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Heading {
    /// The site's title, free text.
    pub title: String,
    /// Day of the survey as it was said, for title blocks; empty where it was not.
    pub surveyed_on: String,
    /// Title block of the drawings, as it was given: heads and free texts.
    pub title_block: Vec<(&'static str, String)>,
}

/// Where the pipe runs: its stations, heights, plan and bends.
#[derive(Debug, Clone, PartialEq)]
pub struct Geometry {
    /// What was surveyed.
    pub of: SurveyedLine,
    /// Heights of the pipe's centre on the common grid: surveyed points, ends of pipes, fittings, lows, crests, then even filling; at most 2,000.
    pub heights: Heights,
    /// Level distance from the intake at each station of the grid, m.
    pub horizontal_m: Vec<f64>,
    /// Position at each station of the grid, where the survey has a plan.
    pub plan: Vec<Option<Plan>>,
    /// Height of the ground or of what was surveyed at each station, m, where it differs from the pipe's centre.
    pub ground_m: Vec<Option<f64>>,
    /// What each station is on the survey's pegs: for telling, nothing is computed on them.
    pub pegs: Reckoning,
    /// Bends that stand above their doubt.
    pub bends: Vec<Bend>,
    /// Standard deviation of the length, m.
    pub length_sd_m: f64,
    /// Standard deviation of a station, m.
    pub station_sd_m: f64,
}

/// What keeps stones and sand out, and what attacks metal.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Works {
    /// The screen before it; `None`: nothing was said of one.
    pub screen: Option<Screen>,
    /// What the water carries; `None`: nothing was said of it.
    pub grit: Option<Grit>,
    /// The settling basin; `None`: nothing was said of one.
    pub basin: Option<Basin>,
    /// A record of filling and first running is asked for.
    pub record: Option<Record>,
    /// What attacks metal; `None`: nothing was said of it.
    pub corrosion: Option<Corrosion>,
    /// Metal parts on the pipe, in order.
    pub metals: Vec<MetalPart>,
}

/// What the user asks for beside what stands.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wishes {
    /// Running states to compute beside the standing ones, from the user.
    pub cases: Vec<CaseWish>,
    /// Movements of valves and jets from the user.
    pub movements: Vec<Movement>,
    /// Reaches that must stay as they are.
    pub fixed: Vec<(f64, f64)>,
    /// What a regrade may cost and must reach.
    pub regrade: RegradeWish,
    /// Limits the user set or the defaults.
    pub limits: Limits,
}

/// What was measured on the plant and its stream.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Measured {
    /// What gauges showed.
    pub gauges: Vec<Gauge>,
    /// What was measured of the stream, in order of time.
    pub gauged: Vec<Gauged>,
    /// The pressure test as it was done; `None`: nothing was said of it.
    pub pressure_test: Option<PressureTest>,
}

/// What surrounds the pipe: its bed, ground, floods, air, water, stream.
#[derive(Debug, Clone, PartialEq)]
pub struct Environment {
    /// How the pipe sits, where it is not simply on the surveyed line.
    pub laid: Vec<Laid>,
    /// Ground by reach.
    pub ground: Vec<Ground>,
    /// Floods by reach.
    pub floods: Vec<Flood>,
    /// Where on the earth, gravity, air.
    pub situation: Situation,
    /// Temperatures of the water.
    pub water: WaterRange,
    /// The stream.
    pub stream: Option<Stream>,
}

/// The pipes of a line in order from the intake, without gap.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reaches(pub Vec<Reach>);

/// One pipe from station to station.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// Where it begins, m.
    pub from_m: f64,
    /// Where it ends, m.
    pub to_m: f64,
    /// The pipe.
    pub pipe: Pipe,
    /// How its pieces are joined.
    pub joint: Joint,
    /// What the joint may take, Pa, where the user said.
    pub joint_rating_pa: Option<f64>,
    /// Lengths that its coils or sticks can be bought in, m, where the user said.
    pub pieces_m: Vec<f64>,
    /// Whether it comes in coils.
    pub coil: bool,
    /// Joints that are there already, m along the line.
    pub joints_at_m: Vec<f64>,
    /// Laid already, or planned.
    pub is_laid: bool,
    /// What is known of its past.
    pub condition: Condition,
    /// Share of the rating that is left, 0 to 1, where the user said: his word stands before rust and age, also where it is 1.
    pub derate: Option<f64>,
    /// The user's own surge allowance: largest total pressure over the rating.
    pub surge_allowance: Option<f64>,
    /// Price a metre, where the user said.
    pub price_per_m: Option<f64>,
}

/// Where on the earth the site is and what follows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Situation {
    /// Latitude, degrees, where known.
    pub latitude_deg: Option<f64>,
    /// Altitude above the sea, m, where known.
    pub altitude_m: Option<f64>,
    /// Gravity, m/s2.
    pub gravity_m_per_s2: f64,
    /// Hottest air, C.
    pub hottest_air_c: f64,
    /// Coldest air, C.
    pub coldest_air_c: f64,
    /// Exposed pipe stands in the sun.
    pub sun: bool,
    /// Depth of frost, m, where the user said.
    pub frost_depth_m: Option<f64>,
}

/// Temperatures of the water: each check takes the end that harms it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaterRange {
    /// What running figures are computed at, C.
    pub usual_c: f64,
    /// Coldest, C.
    pub coldest_c: f64,
    /// Warmest, C.
    pub warmest_c: f64,
}

/// What the stream gives.
#[derive(Debug, Clone, PartialEq)]
pub struct Stream {
    /// One flow, or twelve by month, m3/s.
    pub flow_m3_per_s: Vec<f64>,
    /// What must stay in the stream, m3/s.
    pub leave_m3_per_s: f64,
}

impl Reaches {
    /// The pipe at a station; where two meet, the upper one.
    pub fn at(&self, station_m: f64) -> Option<&Reach> {
        self.iter().find(|r| station_m <= r.to_m).or(self.last())
    }

    /// The bore at a station, m; `None` where the line has no pipe.
    pub fn bore_m(&self, station_m: f64) -> Option<f64> {
        self.at(station_m).map(|r| r.pipe.inner_diameter_m)
    }
}

impl Deref for Reaches {
    type Target = Vec<Reach>;

    fn deref(&self) -> &Vec<Reach> {
        &self.0
    }
}

impl DerefMut for Reaches {
    fn deref_mut(&mut self) -> &mut Vec<Reach> {
        &mut self.0
    }
}

impl<'a> IntoIterator for &'a Reaches {
    type Item = &'a Reach;
    type IntoIter = std::slice::Iter<'a, Reach>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}

impl Geometry {
    /// Length of the pipe, m; 0 where the line has no stations.
    pub fn length_m(&self) -> f64 {
        self.heights.station_m.last().copied().unwrap_or(0.0)
    }

    /// Height of the pipe's centre at a station, m: straight between stations of the grid, held at the ends.
    pub fn elevation_m(&self, station_m: f64) -> f64 {
        self.heights.at(station_m)
    }

    /// Height of the pipe's centre at its end, m; 0 where the line has no stations.
    pub fn end_elevation_m(&self) -> f64 {
        self.heights.mean_m.last().copied().unwrap_or(0.0)
    }

    /// Fall from the first to the last station, m, positive where the pipe ends lower.
    pub fn drop_m(&self) -> f64 {
        self.heights.mean_m.first().copied().unwrap_or(0.0) - self.end_elevation_m()
    }

    /// Latitude and longitude at a station, degrees: straight between stations of the grid; `None` where the survey is not tied to the earth.
    pub fn lat_lon_deg(&self, station_m: f64) -> Option<(f64, f64)> {
        let above = self.heights.station_m.partition_point(|&s| s < station_m);
        let at = |i: usize| {
            let plan = self.plan.get(i).copied().flatten()?;
            Some((self.heights.station_m.get(i).copied()?, plan.lat_lon_deg?))
        };
        match (above.checked_sub(1).and_then(at), at(above)) {
            (Some((s0, (lat0, lon0))), Some((s1, (lat1, lon1)))) if s1 > s0 => {
                let share = (station_m - s0) / (s1 - s0);
                Some((lat0 + share * (lat1 - lat0), lon0 + share * (lon1 - lon0)))
            }
            (_, Some((_, found))) | (Some((_, found)), None) => Some(found),
            (None, None) => None,
        }
    }
}

impl Line {
    /// With what was measured of the stream. Where its flow was not said, the lowest day stands for it.
    #[must_use]
    pub fn with_gauged(mut self, mut gauged: Vec<Gauged>, leave_m3_per_s: Option<f64>) -> Self {
        gauged.sort_by(|a, b| a.day.total_cmp(&b.day));
        let lowest = gauged.iter().map(|g| g.flow_m3_per_s).reduce(f64::min);
        if let (None, Some(lowest)) = (&self.environment.stream, lowest) {
            self.assumed.push(Assumed::StreamAsMeasured(lowest));
            self.environment.stream = Some(Stream {
                flow_m3_per_s: vec![lowest],
                leave_m3_per_s: leave_m3_per_s.unwrap_or(0.0),
            });
        }
        self.measured.gauged = gauged;
        self
    }

    /// Height of the nozzles' axis, m.
    pub fn nozzle_elevation_m(&self) -> f64 {
        self.geometry.end_elevation_m() + self.outlet.as_ref().map_or(0.0, |o| o.nozzle_height_m)
    }
}

impl Inlet {
    /// Elevation of the still water in a given state of it, m.
    pub fn water_level_m(&self, level: WaterLevel) -> f64 {
        match level {
            WaterLevel::Usual => self.level_m,
            WaterLevel::Low => self.low_level_m,
            WaterLevel::Flood => self.flood_level_m,
        }
    }

    /// The pipe climbs over the edge of the intake.
    pub fn is_siphon(&self) -> bool {
        self.kind == IntakeKind::Siphon
    }
}
