use super::block::block;
use super::buried::AfloatJson;
use crate::anchor::{
    Anchor, BearingTable, BlockKind, Curve, Flooded, Heat, Jointed, PullApart, PullPlace, Push,
    Sense, Slack, SteelBend, SteelCase, SteepReach, Supported, ThrustBlock, ThrustSource, Towards,
};
use crate::line::Appurtenance;
use crate::pipe::{Joint, Soil};
use crate::view::bearing::bearing_deg;
use crate::words::no_block;

block! {
    /// The block `anchors`: thrusts, blocks, ends, slopes, heat, floods, supports, and what is in no force here.
    struct AnchorsJson of (anchor: &Anchor, stands: &[Appurtenance]) {
        /// Thrust forces.
        thrusts: Vec<ThrustJson> = anchor.pushes.iter().map(ThrustJson::of).collect(),
        /// Concrete thrust blocks.
        blocks: Vec<BlockJson> = anchor.blocks.iter().map(BlockJson::of).collect(),
        /// Ends of continuous pipe.
        ends: Vec<EndJson> = anchor.pulls.iter().map(EndJson::of).collect(),
        /// Slopes where the pipe can slide.
        slopes: Vec<SlopeJson> = anchor.slopes.iter().map(|s| SlopeJson::of(s, stands)).collect(),
        /// Thermal movement and forces.
        heat: Vec<HeatJson> = anchor.heat.iter().map(HeatJson::of).collect(),
        /// Flood loads.
        floods: Vec<FloodJson> = anchor.floods.iter().map(|f| FloodJson::of(f, stands)).collect(),
        /// Buried sections that water can surround, where the empty pipe floats.
        afloat: Vec<AfloatJson> = anchor.afloat.iter().map(AfloatJson::of).collect(),
        /// Spans and supports.
        supports: Vec<SupportJson> = anchor.supports.iter().map(SupportJson::of).collect(),
        /// Thrust blocks of above-ground steel pipe.
        steel: Vec<SteelJson> = anchor.steel.iter().map(SteelJson::of).collect(),
        /// Curves that the pipe follows.
        curves: Vec<CurveJson> = anchor.curves.iter().map(CurveJson::of).collect(),
        /// Runs of steel pipe with expansion joints.
        jointed: Vec<JointedJson> = anchor.jointed.iter().map(JointedJson::of).collect(),
        parting: Vec<String> = anchor.parting.iter().map(ToString::to_string).collect(),
    }

    struct ThrustJson of (p: &Push) with {
        let known = p.sense == Sense::Route;
    } {
        at: ThrustSource = p.at.clone(),
        station_m: f64 = p.station_m,
        angle_deg: f64 = p.angle_rad.to_degrees(),
        angle_sd_deg: f64 = p.angle_sd_rad.to_degrees(),
        pressure_pa: f64 = p.pressure_pa,
        state: Option<String> = p.by.as_ref().map(ToString::to_string),
        /// True if the condition has column separation.
        state_parts: Option<bool> = p.by_parts.then_some(true),
        force_n: f64 = p.size_n,
        /// Design force: at the angle plus two standard deviations, N.
        force_high_n: f64 = p.high_n,
        forward_n: Option<f64> = known.then_some(p.force.x),
        /// Force to the left, N.
        left_n: Option<f64> = known.then_some(p.force.y),
        up_n: Option<f64> = known.then_some(p.force.z),
        /// Direction of the horizontal part, from north by east, degrees.
        bearing_deg: Option<f64> = bearing_deg(p),
        /// Horizontal part of the force, N.
        level_n: Option<f64> = known.then(|| p.force.level()),
        /// How the direction is known.
        sense: Sense = p.sense,
        /// Direction in words.
        towards: Vec<Towards> = p.towards.clone(),
        joint: Joint = p.joint,
        restrained: bool = p.restrained,
        /// True if the angle is within its uncertainty.
        doubtful: bool = p.doubtful,
    }

    struct BlockJson of (b: &ThrustBlock) {
        station_m: f64 = b.station_m,
        /// How the block acts.
        works: Vec<BlockKind> = b.kinds.clone(),
        soil: Option<Soil> = b.soil,
        table: Option<BearingTable> = b.ground.map(|g| g.table),
        /// Depth of the thrust in the ground, m.
        depth_m: Option<f64> = b.ground.map(|g| g.cover_m),
        /// Allowable lateral soil pressure, Pa.
        sideways_pa: Option<f64> = b.ground.map(|g| g.sideways_pa),
        /// Highest value of the tables, Pa.
        highest_table_pa: Option<f64> = b.ground.map(|g| g.sideways_high_pa),
        /// Allowable bearing pressure, Pa.
        downward_pa: Option<f64> = b.ground.map(|g| g.downward_pa),
        friction: Option<f64> = b.ground.map(|g| g.friction),
        /// Bearing area, m2.
        bearing_m2: f64 = b.bearing_area_m2,
        /// Weight, N.
        weight_n: f64 = b.weight_n,
        volume_m3: f64 = b.volume_m3,
        /// Volume in waterlogged ground, m3.
        volume_wet_m3: f64 = b.volume_wet_m3,
        long_m: f64 = b.size_m.0,
        wide_m: f64 = b.size_m.1,
        high_m: f64 = b.size_m.2,
        sliding: f64 = b.sliding,
        overturning: Option<f64> = b.overturning,
        base_pa: Option<f64> = b.base_pa,
        refused: bool = b.refused.is_some(),
        /// Why no block is proposed.
        why_refused: Option<&'static str> = b.refused.map(no_block),
        from_memory: bool = b.from_memory,
    }

    struct EndJson of (p: &PullApart) {
        station_m: f64 = p.station_m,
        /// Place of the end.
        place: PullPlace = p.place,
        joint: Joint = p.joint,
        /// Pressure force on the closed end, N.
        pressure_n: f64 = p.by_pressure_n,
        /// Poisson pull of the pressure, N.
        #[cfg_attr(test, schemars(with = "Option<f64>"))]
        shortening_n: f64 = p.by_shortening_n,
        /// Thermal pull, N.
        cold_n: f64 = p.by_cold_n,
        /// Free shortening, m.
        #[cfg_attr(test, schemars(with = "Option<f64>"))]
        shortens_m: f64 = p.shortens_m,
        /// Design force of the anchor, N.
        hold_n: f64 = p.hold_n,
        /// Design force without an expansion loop, N.
        tight_n: f64 = p.tight_n,
        /// True if an expansion loop or joint is next to it.
        slack: bool = p.slack != Slack::None,
        /// What allows the movement.
        slack_by: Slack = p.slack,
        from_memory: bool = p.from_memory,
    }

    struct SlopeJson of (s: &SteepReach, stands: &[Appurtenance]) {
        from_station_m: f64 = s.from_m,
        to_station_m: f64 = s.to_m,
        slope_deg: f64 = s.slope_rad.to_degrees(),
        friction: f64 = s.friction,
        /// True if the user gave the friction.
        friction_known: bool = s.friction_known,
        /// Sliding force of the full pipe, N/m.
        slides_full_n_per_m: f64 = s.slides_full_n_per_m,
        /// Sliding force of the empty pipe, N/m.
        slides_empty_n_per_m: f64 = s.slides_empty_n_per_m,
        pull_n: f64 = s.pull_n,
        safety: f64 = s.safety,
        anchor_n: f64 = s.anchor_n,
        /// Stations of the required anchors, m.
        anchors_m: Vec<f64> = s.anchors_m.clone(),
        /// Anchor spacing of the handbook, m.
        handbook_spacing_m: Option<f64> = s.handbook_spacing_m,
        standing: Vec<HoldJson> = standing(&s.standing, stands),
        from_memory: bool = s.from_memory,
    }

    struct HeatJson of (h: &Heat) {
        from_station_m: f64 = h.from_m,
        to_station_m: f64 = h.to_m,
        /// Highest temperature of the pipe, degrees Celsius.
        hot_c: f64 = h.hot_c,
        /// Lowest temperature of the pipe, degrees Celsius.
        cold_c: f64 = h.cold_c,
        moves_m: f64 = h.moves_m,
        /// Shortening by pressure, m.
        #[cfg_attr(test, schemars(with = "Option<f64>"))]
        pressure_shortens_m: f64 = h.pressure_shortens_m,
        /// Force of the restrained pipe, heating, N.
        held_hot_n: f64 = h.held_hot_n,
        /// Force of the restrained pipe, cooling overnight, N.
        held_cold_night_n: f64 = h.held_cold_n.0,
        /// Force of the restrained pipe, sudden cooling, N.
        held_cold_quick_n: f64 = h.held_cold_n.1,
        /// Force with one end restrained, N.
        drags_n: f64 = h.drags_n,
        /// Spacing of the guides, m.
        guide_spacing_m: Option<f64> = h.guide_spacing_m,
        /// Lateral deflection (snaking), m.
        swing_m: Option<f64> = h.guide_spacing_m.map(|_| h.swing_m),
        /// Spacing of the existing guides, m.
        standing_gap_m: Option<f64> = h.standing_swing.map(|s| s.0),
        /// Lateral deflection between the existing guides, m.
        standing_swing_m: Option<f64> = h.standing_swing.map(|s| s.1),
        /// Stations of the expansion loops, m.
        loops_m: Vec<f64> = h.loops_m.clone(),
        from_memory: bool = h.from_memory,
    }

    struct FloodJson of (f: &Flooded, stands: &[Appurtenance]) {
        from_station_m: f64 = f.from_m,
        to_station_m: f64 = f.to_m,
        /// True if the section is buried: scour governs.
        buried: bool = f.buried,
        lift_empty_n_per_m: f64 = f.lift_empty_n_per_m,
        lift_full_n_per_m: f64 = f.lift_full_n_per_m,
        /// Drag of clear water, N/m.
        drag_clear_n_per_m: f64 = f.drag_clear_n_per_m,
        /// Drag with debris, N/m.
        drag_n_per_m: f64 = f.drag_n_per_m,
        /// Total flood load, N/m.
        pull_n_per_m: f64 = f.pull_n_per_m,
        safety: f64 = f.safety,
        /// Strength of a required strap, N.
        strap_n: f64 = f.strap_n,
        spacing_m: f64 = f.spacing_m,
        standing: Vec<HoldJson> = standing(&f.standing, stands),
        /// Velocity for which the existing straps are sufficient, m/s.
        holds_speed_m_per_s: Option<f64> = f.holds_speed_m_per_s,
        /// Ballast, concrete weighed in air, kg/m.
        ballast_kg_per_m: f64 = f.ballast_kg_per_m,
        from_memory: bool = f.from_memory,
    }

    struct SupportJson of (s: &Supported) {
        from_station_m: f64 = s.from_m,
        to_station_m: f64 = s.to_m,
        /// Temperature of the pipe wall, degrees Celsius.
        at_c: f64 = s.at_c,
        /// Support spacing by the beam formula, m.
        beam_spacing_m: f64 = s.beam_spacing_m,
        /// Support spacing by the published table, m.
        table_spacing_m: Option<f64> = s.table.map(|t| t.0),
        table: Option<&'static str> = s.table.map(|t| t.1),
        spacing_m: f64 = s.spacing_m,
        /// Longest existing span, m.
        standing_span_m: Option<f64> = s.standing_span_m,
        /// Sag, m.
        sag_m: Option<f64> = s.sag_m,
        /// Bending stress, Pa.
        bending_pa: Option<f64> = s.stress_pa.map(|p| p.0),
        /// Allowable bending stress, Pa.
        bending_allowed_pa: Option<f64> = s.stress_pa.map(|p| p.1),
        wanted_m: Vec<f64> = s.wanted_m.clone(),
        from_memory: bool = s.from_memory,
    }

    struct CurveJson of (c: &Curve) {
        from_station_m: f64 = c.from_m,
        to_station_m: f64 = c.to_m,
        radius_m: f64 = c.radius_m,
        angle_deg: f64 = c.angle_rad.to_degrees(),
        pressure_pa: f64 = c.pressure_pa,
        state: Option<String> = c.by.as_ref().map(ToString::to_string),
        /// Outward force, N/m.
        push_n_per_m: f64 = c.push_n_per_m,
        /// Resistance, N/m.
        holds_n_per_m: f64 = c.holds_n_per_m,
        /// Missing resistance, N/m.
        lacks_n_per_m: f64 = c.lacks_n_per_m(),
        restrained: bool = c.restrained,
        pull_n: Option<f64> = c.pull_n,
    }

    struct JointedJson of (j: &Jointed) {
        from_station_m: f64 = j.from_m,
        to_station_m: f64 = j.to_m,
        joint_m: f64 = j.joint_m,
        moves_m: f64 = j.moves_m,
        joint_friction_n: f64 = j.joint_friction_n,
        joint_end_n: f64 = j.joint_end_n,
        /// Station of the anchor, m.
        anchor_m: Option<f64> = j.anchor.map(|a| a.0),
        anchor_n: Option<f64> = j.anchor.map(|a| a.1),
        stands: bool = j.stands.is_some(),
    }

    struct SteelJson of (s: &SteelBend) {
        station_m: f64 = s.station_m,
        joint_m: f64 = s.joint_m,
        pressure_pa: f64 = s.pressure_pa,
        /// Thrust, N.
        thrust_n: f64 = s.thrust_n,
        /// Friction force on the piers, N.
        pier_friction_n: f64 = s.pier_friction_n,
        joint_friction_n: f64 = s.joint_friction_n,
        joint_end_n: f64 = s.joint_end_n,
        /// Weight along the slope, N.
        hangs_n: f64 = s.hangs_n,
        /// Forces during heating.
        warming: SteelCaseJson = SteelCaseJson::of(&s.warming),
        /// Forces during cooling.
        cooling: SteelCaseJson = SteelCaseJson::of(&s.cooling),
        long_m: f64 = s.size_m.0,
        wide_m: f64 = s.size_m.1,
        high_m: f64 = s.size_m.2,
        volume_m3: f64 = s.size_m.0 * s.size_m.1 * s.size_m.2,
        soil: Option<Soil> = s.soil,
        /// Why no block is proposed.
        why_refused: Option<&'static str> = s.refused.map(no_block),
        from_memory: bool = true,
    }

    struct SteelCaseJson of (c: &SteelCase) {
        forward_n: f64 = c.force_n.x,
        up_n: f64 = c.force_n.z,
        sliding: f64 = c.stands.sliding,
        overturning: f64 = c.stands.overturning,
        base_pa: Option<f64> = c.stands.largest_pa,
    }

    struct HoldJson of (s: &Appurtenance, share: Option<f64>) {
        station_m: f64 = s.station_m,
        /// Strength divided by required strength.
        holds_share: Option<f64> = share,
    }
}

/// What stands, with what it holds over what it must; without that where its strength was not given.
fn standing(of: &[(usize, Option<f64>)], stands: &[Appurtenance]) -> Vec<HoldJson> {
    of.iter()
        .filter_map(|(i, share)| Some(HoldJson::of(stands.get(*i)?, *share)))
        .collect()
}
