//! What the result is made of: runs with their joints, curves, what holds, how a block stands.

use crate::pipe::MarkKind;
use crate::unit::Limit;

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
    /// The state that makes that pressure, by its name.
    pub by: String,
    /// Outward push a metre at the angle plus two standard deviations, N/m.
    pub push_n_per_m: f64,
    /// What the ground and what stands there hold a metre, N/m, safety counted.
    pub holds_n_per_m: f64,
    /// The joints carry the pull along the pipe, so nothing else need hold the curve.
    pub restrained: bool,
    /// No joint stands in the arc: what the ground does not hold the pipe carries along itself, to the joints at its ends. The pull there, N.
    pub pull_n: Option<f64>,
}

impl Curve {
    /// What nothing holds, N/m.
    pub fn lacks_n_per_m(&self) -> f64 {
        if self.restrained || Limit::AtLeast.holds(self.holds_n_per_m, self.push_n_per_m) {
            0.0
        } else {
            self.push_n_per_m - self.holds_n_per_m
        }
    }
}

/// Why something holds the pipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum HoldWhy {
    /// Thrust at a bend, end, valve, tee or change of bore.
    Thrust,
    /// The end of a restrained line.
    PullOut,
    /// Weight along the slope.
    Slope,
    /// Flood.
    Flood,
    /// Heat and cold: sideways swing, and slack.
    Heat,
    /// A run of steel between two expansion joints: its weight, and the friction and pressure of its joints.
    Jointed,
    /// Carries the pipe over a gap.
    Span,
}

/// One thing to set on the hill.
#[derive(Debug, Clone, PartialEq)]
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
