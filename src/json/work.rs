use super::block::block;
use crate::air::{Act, Job, WorkStep};
use crate::laying::{
    BendCheck, BendMethod, Count, JointAt, LaidPiece, Laying, PlacedJoint, ShoppingRow, Why,
};
use crate::pipe::Joint;
use crate::regrade::{RegradeKind, RegradePlan, Remaining, Stake, StillClimbs};
use crate::report::laying_list::{LayingListStep, LayingStage};
use crate::words::{Say, act, act_cautions, item_word};

block! {
    struct RegradeJson of (plan: &RegradePlan) {
        /// Kind of the plan: mixed, dig or prop.
        kind: RegradeKind = plan.kind,
        /// Cost in the user's relative prices.
        cost: f64 = plan.cost,
        /// Area of digging in the longitudinal section, m2.
        dug_m2: f64 = plan.dug_m2,
        /// Area of raising in the longitudinal section, m2.
        propped_m2: f64 = plan.propped_m2,
        /// Deepest cut, m.
        deepest_m: f64 = plan.deepest_m,
        /// Highest lift, m.
        highest_m: f64 = plan.highest_m,
        certainty: Option<f64> = plan.sure,
        /// Probability that the section falls with the additional amount.
        certainty_with_extra: Option<f64> = plan.sure_with_extra,
        /// Set-out stakes.
        stakes: Vec<StakeJson> = plan.stakes.iter().map(StakeJson::of).collect(),
        /// Sections that still rise, with the reason.
        remaining: Vec<RemainingJson> = plan.remaining.iter().map(RemainingJson::of).collect(),
        /// Stations of bends that are too sharp, m.
        too_tight_m: Vec<f64> = plan.too_tight_m.clone(),
    }

    struct StakeJson of (s: &Stake) {
        station_m: f64 = s.station_m,
        /// Present elevation of the pipe centre, m.
        now_m: f64 = s.now_m,
        wanted_m: f64 = s.wanted_m,
        /// Change of elevation; negative: dig, m.
        change_m: f64 = s.change_m,
        /// Additional amount for 90 % confidence, m.
        extra_m: Option<f64> = s.extra_m,
        ground_m: Option<f64> = s.ground_m,
        /// Depth of the trench to the bottom of the pipe, m.
        trench_m: Option<f64> = s.trench_m(),
        /// Clearance between the ground and the bottom of the pipe, m.
        prop_m: Option<f64> = s.prop_m(),
    }

    /// The block `laying`: pieces, joints, bends, the list in order of work, what to buy.
    struct LayingJson of (laying: &Laying, list: &[LayingListStep]) {
        pieces: Vec<PieceJson> = laying.pieces.iter().map(PieceJson::of).collect(),
        joints: Vec<LaidJointJson> = laying.joints.iter().map(LaidJointJson::of).collect(),
        bends: Vec<LaidBendJson> = laying.bends.iter().map(LaidBendJson::of).collect(),
        list: Vec<LaidStepJson> = list.iter().map(|s| LaidStepJson::of(s, laying)).collect(),
        /// Material list.
        shopping: Vec<BoughtJson> = laying.shopping.iter().map(BoughtJson::of).collect(),
    }

    struct RemainingJson of (r: &Remaining) {
        from_station_m: f64 = r.from_m,
        to_station_m: f64 = r.to_m,
        why: StillClimbs = r.why,
    }

    struct LaidBendJson of (b: &BendCheck) {
        station_m: f64 = b.station_m,
        angle_deg: f64 = b.angle_rad.to_degrees(),
        angle_sd_deg: f64 = b.sd_rad.to_degrees(),
        /// Minimum bend radius, m.
        least_radius_m: Option<f64> = b.least_radius_m,
        radius_m: f64 = b.radius_m,
        length_m: f64 = b.length_m,
        /// Distance of the pipe from the surveyed corner, m.
        off_line_m: f64 = b.off_line_m,
        /// Length without joints, m.
        clear_m: f64 = b.clear_m,
        /// True if a joint is permitted in the bend.
        bears_joint: bool = b.bears_joint,
        /// How the bend is made: pipe, joints, elbow, stands (existing elbow), cannot tell.
        way: BendMethod = b.way,
        /// Number of rubber-ring joints that deflect.
        ring_joints: Option<usize> = match b.way { BendMethod::Joints(n) => Some(n), _ => None },
        /// Angle of the elbow, degrees.
        elbow_deg: Option<f64> = match b.way { BendMethod::Elbow(rad) => Some(rad.to_degrees()), _ => None },
    }

    struct WorkStepJson of (s: &WorkStep, say: Say) {
        /// Procedure: filling, pressure test, draining, flushing, restarting.
        job: Job = s.job,
        code: Act = s.act.clone(),
        text: String = act(&s.act, say),
        /// Cautions beside the step.
        cautions: Vec<&'static str> = s.cautions.iter().map(|c| act_cautions(*c)).collect(),
        from_memory: bool = s.from_memory,
    }

    struct PieceJson of (p: &LaidPiece) {
        /// Sequence number.
        number: usize = p.number,
        from_station_m: f64 = p.from_m,
        to_station_m: f64 = p.to_m,
        /// Length to cut, m.
        cut_m: f64 = p.cut_m,
        /// Number of the coil or straight length that it is cut from.
        cut_from: Option<usize> = p.cut_from,
        /// Bought length, m.
        bought_m: Option<f64> = p.bought_m,
        left_m: f64 = p.left_m,
        /// True for a coil.
        coil: bool = p.coil,
    }

    struct LaidJointJson of (j: &PlacedJoint) {
        station_m: f64 = j.station_m,
        joint: Joint = j.joint,
        /// What the joint connects.
        between: JointAt = j.at,
        /// True if the joint is unavoidable there.
        forced: bool = j.forced.is_some(),
    }

    struct LaidStepJson of (s: &LayingListStep, laying: &Laying) {
        /// Stage of the work.
        stage: LayingStage = s.stage,
        what: String = s.what.clone(),
        from_station_m: f64 = s.from_m,
        to_station_m: Option<f64> = s.to_m,
        /// Number of the length of pipe.
        piece: Option<usize> = s.piece.and_then(|i| laying.pieces.get(i)).map(|p| p.number),
        /// Notes for this step.
        heed: Option<String> = (!s.heed.is_empty()).then(|| s.heed.clone()),
    }

    struct BoughtJson of (row: &ShoppingRow) {
        /// Item to buy.
        item: String = item_word(&row.item),
        spec: String = row.spec.clone(),
        bore_m: Option<f64> = row.bore_m,
        /// Number or amount.
        count: f64 = row.count,
        /// Spares in addition to the count.
        spare: f64 = row.spare,
        /// Unit of the count.
        unit: Count = row.unit,
        /// Length of each, m.
        each_m: Option<f64> = row.each_m,
        left_m: Option<f64> = row.left_m,
        mass_kg: Option<f64> = row.mass_kg,
        /// Price in the user's currency.
        price: Option<f64> = row.price,
        force_n: Option<f64> = row.force_n,
        rating_pa: Option<f64> = row.rating_pa,
        /// Stations, m.
        stations_m: Vec<f64> = row.stations_m.clone(),
        why: Why = row.why,
    }
}
