//! What is told of single places that hold the pipe: the rooms' files fill it in.

use crate::capacity::Which;
use crate::pipe::MarkKind;

/// How a block stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stability {
    /// Resistance to sliding over the level force.
    pub sliding: f64,
    /// Moment that rights over the moment that tips.
    pub overturning: f64,
    /// How far the load stands off the middle of the base, m.
    pub off_middle_m: f64,
    /// Largest pressure under the base, Pa; `None`: it tips.
    pub largest_pa: Option<f64>,
    /// Least pressure under the base, Pa; 0 where an edge lifts.
    pub least_pa: f64,
}

/// A buried reach that water stands round.
#[derive(Debug, Clone, PartialEq)]
pub struct Afloat {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// What water.
    pub by: WetBy,
    /// Uplift of the empty pipe, N/m, positive up.
    pub lift_empty_n_per_m: f64,
    /// Uplift of the full pipe, N/m.
    pub lift_full_n_per_m: f64,
    /// The pipe is not laid yet: its trench will stand open.
    pub to_lay: bool,
    /// What the fill over it does, or why that is not known.
    pub fill: Result<Filled, NoFill>,
    /// Cover that keeps the empty pipe down with [`COVER_SAFETY`](super::COVER_SAFETY), m, what a flood moves counted; `None` where no cover does: peat.
    pub wanted_cover_m: Option<f64>,
    /// Concrete weighed in air that keeps the empty pipe down without any fill, kg/m.
    pub ballast_kg_per_m: f64,
}

crate::text::words! {
    /// What water stands round a buried pipe.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum WetBy {
        /// Water in the trench or in the ground, as said.
        Trench = "trench",
        /// The pipe lies under a stream, as said.
        Stream = "stream",
        /// A flood stands over it.
        Flood = "flood",
    }
}

/// The fill over a pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Filled {
    /// Cover that counts, m: what a flood moves is left out.
    pub cover_m: f64,
    /// Its weight under water, N/m.
    pub weight_n_per_m: f64,
    /// Weight of pipe and fill over the lift of the whole section.
    pub safety: f64,
}

/// Why it is not known what the fill does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum NoFill {
    /// The cover is not given.
    CoverUnknown,
    /// Under a stream: how deep its bed moves is not given.
    ScourUnknown,
    /// The soil is not given.
    SoilUnknown,
}

/// A bend that the pipe follows by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// Where the arc begins, m.
    pub from_m: f64,
    /// Where it ends, m.
    pub to_m: f64,
    /// Radius of the axis, m.
    pub radius_m: f64,
    /// Angle in space, rad.
    pub angle_rad: f64,
    /// Pressure it is computed at, Pa.
    pub pressure_pa: f64,
    /// The state that makes that pressure, where it was asked for.
    pub by: Option<Which>,
    /// Outward push a metre at the angle plus two standard deviations, N/m.
    pub push_n_per_m: f64,
    /// What the ground and what stands there hold a metre, N/m, safety counted.
    pub holds_n_per_m: f64,
    /// The joints carry the pull along the pipe, so nothing else need hold the curve.
    pub restrained: bool,
    /// No joint stands in the arc: what the ground does not hold the pipe carries along itself, to the joints at its ends. The pull there, N.
    pub pull_n: Option<f64>,
}

crate::text::words! {
    /// Why something holds the pipe.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum HoldWhy {
        /// Thrust at a bend, end, valve, tee or change of bore.
        Thrust = "thrust",
        /// The end of a restrained line.
        PullOut = "end pulling out",
        /// Weight along the slope.
        Slope = "sliding",
        Flood = "flood",
        /// Heat and cold: sideways swing, and slack.
        Heat = "heat",
        /// A run of steel between two expansion joints: its weight, and the friction and pressure of its joints.
        Jointed = "run between expansion joints",
        /// Carries the pipe over a gap.
        Span = "sagging",
    }
}

/// One thing to set on the hill.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Hold {
    /// Anchor, block, strap, guide, support, or a loop of slack.
    pub kind: MarkKind,
    /// Where, m.
    pub station_m: f64,
    /// Within what, m.
    pub tolerance_m: f64,
    /// What it must hold, N.
    pub force_n: f64,
    /// Concrete, m3, where it is a block.
    pub volume_m3: Option<f64>,
    /// Slack that a loop must give, m, where it is one.
    pub slack_m: Option<f64>,
    /// It holds along the pipe, so that an anchor does as well as a block.
    pub along: bool,
    /// Why.
    pub why: HoldWhy,
    /// Index into `line.stands`: it stands already and is enough; `None`: wanted.
    pub stands: Option<usize>,
    /// Index into `line.stands`: it is planned there, strong enough, but does not stand on the laid pipe yet; nothing more is to be bought.
    pub to_come: Option<usize>,
    /// A figure behind it is not verified against its document.
    pub from_memory: bool,
}

impl Hold {
    /// Nothing stands or is planned that does it.
    pub fn is_to_buy(&self) -> bool {
        self.stands.is_none() && self.to_come.is_none()
    }
}

/// A run of steel above the ground between two places that hold it, with the expansion joint it needs just below the upper one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jointed {
    /// From, m: held here.
    pub from_m: f64,
    /// To, m: held here.
    pub to_m: f64,
    /// Where the joint goes, m.
    pub joint_m: f64,
    /// What it must take up, m: alpha L dT between the hottest empty day and the coldest water.
    pub moves_m: f64,
    /// Friction of the joint, N.
    pub joint_friction_n: f64,
    /// Pressure on the pipe's end in the joint, N.
    pub joint_end_n: f64,
    /// The end that is no bend, end of the line or of the steel: an anchor is set there, m; with what it must hold along the pipe, N.
    pub anchor: Option<(f64, f64)>,
    /// Index into `line.stands`: a joint that stands in the run; `None`: wanted.
    pub stands: Option<usize>,
}

/// The run that a station lies in; where two meet, the upper one.
pub(super) fn run_at(runs: &[Jointed], station_m: f64) -> Option<&Jointed> {
    runs.iter()
        .find(|r| (r.from_m - 1e-6..=r.to_m + 1e-6).contains(&station_m))
}

/// The run that begins or ends at a station.
pub(super) fn run_beside(runs: &[Jointed], station_m: f64) -> Option<&Jointed> {
    runs.iter()
        .find(|r| (r.from_m - station_m).abs() < 0.5 || (r.to_m - station_m).abs() < 0.5)
}
