//! What the room says: thrusts, blocks, slopes, heat, floods and supports, as figures without words.

use super::pieces::{Afloat, Curve, Hold, Jointed, Stability};
use super::soil::GroundBearing;
use super::source::{Sense, ThrustSource, Towards};
use super::thrust::Vector;
use crate::capacity::Which;
use crate::pipe::{Joint, Soil};

/// What presses on the pipe from inside, on the stations of the line's grid.
#[derive(Debug, Clone, PartialEq)]
pub struct Loads {
    /// Largest pressure at each station in service, Pa: standing, running, filling, plus surge.
    pub largest_pa: Vec<f64>,
    /// The state that makes it at each station; empty where nobody asks.
    pub by: Vec<Which>,
    /// Movements in which the water parts: what strikes when it joins again is in no pressure here.
    pub parting: Vec<Which>,
    /// Pressure at each station in the test, Pa: the uppermost valve shut, the pump at the lower end; empty where there is no such test.
    pub test_pa: Vec<f64>,
    /// Standing pressure at each station, Pa.
    pub standing_pa: Vec<f64>,
    /// Largest running flow, m3/s.
    pub flow_m3_per_s: f64,
}

/// Everything that holds the line, or must.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Anchor {
    /// Movements in which the water parts: the blow when it joins again is not counted in any force here, and nothing is built for it. Keep them from happening.
    pub parting: Vec<Which>,
    /// Thrusts, in order from the intake.
    pub pushes: Vec<Push>,
    /// Blocks for thrusts that the joints do not hold.
    pub blocks: Vec<ThrustBlock>,
    /// Ends and changes of joint, where the pipe can pull out.
    pub pulls: Vec<PullApart>,
    /// Steep reaches.
    pub slopes: Vec<SteepReach>,
    /// Bends that the pipe follows by itself, in order.
    pub curves: Vec<Curve>,
    /// Steel above the ground between the places that hold it, each run with its expansion joint.
    pub jointed: Vec<Jointed>,
    /// Heat and cold by reach of one pipe.
    pub heat: Vec<Heat>,
    /// Floods by reach.
    pub floods: Vec<Flooded>,
    /// Buried reaches that water stands round, and that float when they are empty.
    pub afloat: Vec<Afloat>,
    /// Spans and supports above ground.
    pub supports: Vec<Supported>,
    /// Steel above the ground, parted by expansion joints: the block at each bend in profile.
    pub steel: Vec<SteelBend>,
    /// All that is set on the hill to hold the pipe, in the order a crew sets it: from the lower end up.
    pub holds: Vec<Hold>,
}

/// A thrust.
#[derive(Debug, Clone, PartialEq)]
pub struct Push {
    /// What pushes.
    pub at: ThrustSource,
    /// Where, m.
    pub station_m: f64,
    /// Angle in space, rad; 0 at ends and changes of bore.
    pub angle_rad: f64,
    /// Its standard deviation, rad.
    pub angle_sd_rad: f64,
    /// Pressure it is computed at, Pa.
    pub pressure_pa: f64,
    /// The state that makes that pressure, where it was asked for.
    pub by: Option<Which>,
    /// The water parts in that state: the force may be larger, and no figure is given for that.
    pub by_parts: bool,
    /// Force on the fitting, N: forward along the pipe in plan, to the left, up. Where its sense is that of the fitting as laid, the sense that asks most of a block.
    pub force: Vector,
    /// How its direction is known.
    pub sense: Sense,
    /// The same to the east, the north and up, N, where the survey has a plan and the sense is known.
    pub compass: Option<Vector>,
    /// Its size, N.
    pub size_n: f64,
    /// Its size at the angle plus two standard deviations, N: what to build for.
    pub high_n: f64,
    /// Where it pushes, largest part first; empty where the sense of an elbow is not known.
    pub towards: Vec<Towards>,
    /// How the pipe is joined there.
    pub joint: Joint,
    /// The joints carry it along the pipe: no block.
    pub restrained: bool,
    /// It lies on steel that expansion joints part: once they stand, nothing carries it along the pipe, and a block is wanted.
    pub jointed: bool,
    /// The angle is not above twice its doubt: measure it before pouring concrete.
    pub doubtful: bool,
}

crate::text::words! {
    /// How a block takes its thrust.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum BlockKind {
        /// Against undisturbed ground at the side or in front.
        Bearing = "bears on undisturbed soil",
        /// By its weight over a bend that pushes out of the ground.
        Weight = "holds down by its weight",
        /// On the ground below a bend that pushes down.
        Base = "rests on its base",
    }
}

/// Why no block is offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum NoBlock {
    /// Peat or muck bears nothing.
    BearsNothing,
    /// The soil was not named: the area is given for the weakest that still bears.
    SoilUnknown,
    /// So large that an engineer has to design it, N.
    TooLarge,
    /// Steel that turns in plan as well as in profile.
    TwoPlanes,
}

/// A block of concrete.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct ThrustBlock {
    /// Index into `pushes`.
    pub push: usize,
    /// Where, m.
    pub station_m: f64,
    /// How it works, the governing way first.
    pub kinds: Vec<BlockKind>,
    /// Soil it was sized for.
    pub soil: Option<Soil>,
    /// What the ground may take and by which table.
    pub ground: Option<GroundBearing>,
    /// Area that bears, m2; 0 where the weight takes it all.
    pub bearing_area_m2: f64,
    /// Weight it needs in air, N.
    pub weight_n: f64,
    /// Concrete, m3, on dry ground.
    pub volume_m3: f64,
    /// Concrete where water can stand around it, m3.
    pub volume_wet_m3: f64,
    /// A size to build, m: along the pipe, across, high. It holds `volume_m3` at least.
    pub size_m: (f64, f64, f64),
    /// Safety against sliding of that size, dry.
    pub sliding: f64,
    /// Safety against overturning of that size, dry; `None` where the ground bears in line with the thrust.
    pub overturning: Option<f64>,
    /// Largest pressure under its base, Pa; `None`: it lifts off at an edge beyond what is allowed.
    pub base_pa: Option<f64>,
    /// Why it is refused.
    pub refused: Option<NoBlock>,
    /// A figure behind it is not verified against its document.
    pub from_memory: bool,
}

/// A place where pieces can pull apart.
#[derive(Debug, Clone, PartialEq)]
pub struct PullApart {
    /// Where, m.
    pub station_m: f64,
    /// How it is joined there.
    pub joint: Joint,
    /// What it is.
    pub place: PullPlace,
    /// Pull by pressure on the end, N.
    pub by_pressure_n: f64,
    /// Pull because pressure shortens the pipe that is held, N.
    pub by_shortening_n: f64,
    /// Pull because the pipe is held and cools, N.
    pub by_cold_n: f64,
    /// Shortening if nothing holds it, m: pressure and cold together.
    pub shortens_m: f64,
    /// The largest pull that a hold here must take if the pipe is held tight, N.
    pub tight_n: f64,
    /// What lets the pipe move beside it, so that cold does not pull.
    pub slack: Slack,
    /// The largest pull that a hold here must take, N: with that loop where it is named.
    pub hold_n: f64,
    /// A figure behind it is not verified against its document.
    pub from_memory: bool,
}

crate::text::words! {
    /// What lets the pipe move beside a hold.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Slack {
        /// Nothing: it is held tight.
        None = "nothing",
        /// A loop of slack that is named.
        Loop = "loop",
        /// An expansion joint, as steel above the ground is parted by.
        Joint = "expansion joint",
    }
}

crate::text::words! {
    /// Where a pull acts.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum PullPlace {
        /// At the intake.
        Intake = "intake",
        /// At the turbine.
        Turbine = "turbine",
        /// Where a restrained pipe meets an unrestrained one or another material.
        ChangeOfPipe = "change of pipe",
    }
}

/// A steep reach.
#[derive(Debug, Clone, PartialEq)]
pub struct SteepReach {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Mean slope, rad below the horizontal.
    pub slope_rad: f64,
    /// Friction where it helps.
    pub friction: f64,
    /// The user gave that friction.
    pub friction_known: bool,
    /// Weight of the full pipe, N/m.
    pub full_n_per_m: f64,
    /// Weight of the empty pipe, N/m.
    pub empty_n_per_m: f64,
    /// What the ground does not hold of the full pipe along the slope, N/m; 0: it lies by itself.
    pub slides_full_n_per_m: f64,
    /// The same of the empty pipe, N/m.
    pub slides_empty_n_per_m: f64,
    /// Pull on all anchors of the reach together, N.
    pub pull_n: f64,
    /// Safety that the anchors are to have.
    pub safety: f64,
    /// Wanted anchors: stations, m, from the top.
    pub anchors_m: Vec<f64>,
    /// What each must hold, N, with the safety.
    pub anchor_n: f64,
    /// Anchors that stand in the reach: index into `line.stands`, and what they hold over what they must; `None`: their strength was not given.
    pub standing: Vec<(usize, Option<f64>)>,
    /// Spacing by the handbook rule for this slope, m, for socketed pipe.
    pub handbook_spacing_m: Option<f64>,
    /// A figure behind it is not verified against its document.
    pub from_memory: bool,
}

/// Heat and cold on a reach.
#[derive(Debug, Clone, PartialEq)]
pub struct Heat {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Temperature of the drained pipe in the sun, C.
    pub hot_c: f64,
    /// Temperature of the full pipe or of the coldest night, C.
    pub cold_c: f64,
    /// Change of length if nothing holds it, m.
    pub moves_m: f64,
    /// Shortening by the standing pressure if nothing holds it, m.
    pub pressure_shortens_m: f64,
    /// Force if it is held and warms, N: the quick modulus.
    pub held_hot_n: f64,
    /// Force if it is held and cools, N: the slow and the quick modulus.
    pub held_cold_n: (f64, f64),
    /// Force on a hold at one end while the other end slides, N: what the ground drags, where friction harms; never more than the held force.
    pub drags_n: f64,
    /// Guides this far apart keep the sideways swing below `swing_m`, m. `None`: the pipe is buried and does not snake.
    pub guide_spacing_m: Option<f64>,
    /// Sideways swing that was allowed, m.
    pub swing_m: f64,
    /// Guides that stand so far apart at most, m, and the swing between them, m.
    pub standing_swing: Option<(f64, f64)>,
    /// Where to leave a loop of slack, m; empty where none is needed.
    pub loops_m: Vec<f64>,
    /// A figure behind it is not verified against its document.
    pub from_memory: bool,
}

/// A reach in a flood.
#[derive(Debug, Clone, PartialEq)]
pub struct Flooded {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Uplift of the empty pipe, N/m, positive up.
    pub lift_empty_n_per_m: f64,
    /// Uplift of the full pipe, N/m.
    pub lift_full_n_per_m: f64,
    /// Drag without debris, N/m.
    pub drag_clear_n_per_m: f64,
    /// Drag with what the flood is said to carry, N/m.
    pub drag_n_per_m: f64,
    /// Pull on straps a metre, empty pipe, with debris, N/m.
    pub pull_n_per_m: f64,
    /// Safety of the straps.
    pub safety: f64,
    /// Wanted straps: spacing, m, for `strap_n`.
    pub spacing_m: f64,
    /// What each wanted strap must hold, N, with the safety.
    pub strap_n: f64,
    /// Straps that stand: index into `line.stands`; what each holds over what it must, `None` where its strength was not given.
    pub standing: Vec<(usize, Option<f64>)>,
    /// Speed that the standing straps hold out, m/s, with the safety; `None`: no strength given, or no straps.
    pub holds_speed_m_per_s: Option<f64>,
    /// Concrete weighed in air that keeps the empty pipe down, kg/m.
    pub ballast_kg_per_m: f64,
    /// The pipe is buried there: scour, not drag, decides.
    pub buried: bool,
    /// A figure behind it is not verified against its document.
    pub from_memory: bool,
}

/// A reach above the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct Supported {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Temperature it was judged at, C.
    pub at_c: f64,
    /// Longest span by the beam formula, m, full of water.
    pub beam_spacing_m: f64,
    /// What rules that span.
    pub ruled_by: BeamRule,
    /// Spacing by a printed table, m, and which.
    pub table: Option<(f64, &'static str)>,
    /// The spacing to build, m: the smaller.
    pub spacing_m: f64,
    /// Longest span that stands, m: between supports, or the named span itself.
    pub standing_span_m: Option<f64>,
    /// Sag of that span, m; `None` where it hangs so deep that the beam formula says nothing any more.
    pub sag_m: Option<f64>,
    /// Bending stress in it, Pa, and what it may be, Pa; `None` as for the sag.
    pub stress_pa: Option<(f64, f64)>,
    /// Wanted supports, m.
    pub wanted_m: Vec<f64>,
    /// A figure behind it is not verified against its document.
    pub from_memory: bool,
}

/// The block at a bend in profile of steel above the ground, with an expansion joint above it.
#[derive(Debug, Clone, PartialEq)]
pub struct SteelBend {
    /// Where, m.
    pub station_m: f64,
    /// Where the joint is above it, m: at the bend or the end before it, and never further than the trade parts straight steel.
    pub joint_m: f64,
    /// Pressure it is computed at, Pa.
    pub pressure_pa: f64,
    /// Thrust of the pressure at the bend, N.
    pub thrust_n: f64,
    /// Friction on the piers above it, N: either way.
    pub pier_friction_n: f64,
    /// Friction in the joint, N: either way.
    pub joint_friction_n: f64,
    /// Pressure on the pipe's end in the joint, N.
    pub joint_end_n: f64,
    /// Weight of the empty pipe that hangs on the block along the slope, N.
    pub hangs_n: f64,
    /// While the pipe warms and grows.
    pub warming: SteelCase,
    /// While it cools and shrinks.
    pub cooling: SteelCase,
    /// A size to build, m: along the pipe, across, high.
    pub size_m: (f64, f64, f64),
    /// Soil it was sized for.
    pub soil: Option<Soil>,
    /// Why it is refused, or offered with a caution.
    pub refused: Option<NoBlock>,
}

/// All forces on the block together, and how it stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteelCase {
    /// Force, N: forward down the valley, and up.
    pub force_n: Vector,
    /// How the block stands under it.
    pub stands: Stability,
}

/// What rules a span.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BeamRule {
    /// Bending stress.
    Stress,
    /// Sag.
    Sag,
}
