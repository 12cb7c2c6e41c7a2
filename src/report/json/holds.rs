use super::buried::afloat;
use crate::anchor::{
    Anchor, Curve, Flooded, Heat, Jointed, PullApart, Push, Sense, Slack, SteelBend, SteelCase,
    SteepReach, Supported, ThrustBlock,
};
use crate::line::Appurtenance;
use crate::report::bearing::bearing_deg;
use crate::report::words::{block_word, no_block, place_word, table_word};
use serde_json::{Value, json};

/// The block `anchors`: thrusts, blocks, ends, slopes, heat, floods, supports, and what is in no force here.
pub fn anchors(anchor: &Anchor, stands: &[Appurtenance]) -> Value {
    json!({
        "thrusts": anchor.pushes.iter().map(thrust).collect::<Vec<_>>(),
        "blocks": anchor.blocks.iter().map(block).collect::<Vec<_>>(),
        "ends": anchor.pulls.iter().map(end).collect::<Vec<_>>(),
        "slopes": anchor.slopes.iter().map(|s| slope(s, stands)).collect::<Vec<_>>(),
        "heat": anchor.heat.iter().map(heat).collect::<Vec<_>>(),
        "floods": anchor.floods.iter().map(|f| flood(f, stands)).collect::<Vec<_>>(),
        "afloat": anchor.afloat.iter().map(afloat).collect::<Vec<_>>(),
        "supports": anchor.supports.iter().map(support).collect::<Vec<_>>(),
        "steel": anchor.steel.iter().map(steel).collect::<Vec<_>>(),
        "curves": anchor.curves.iter().map(curve).collect::<Vec<_>>(),
        "jointed": anchor.jointed.iter().map(jointed).collect::<Vec<_>>(),
        "parting": anchor.parting.iter().map(ToString::to_string).collect::<Vec<_>>(),
    })
}

fn thrust(p: &Push) -> Value {
    let known = p.sense == Sense::Route;
    json!({
        "at": p.at.word(), "station_m": p.station_m, "angle_deg": p.angle_rad.to_degrees(), "angle_sd_deg": p.angle_sd_rad.to_degrees(),
        "pressure_pa": p.pressure_pa, "state": p.by.as_ref().map(ToString::to_string), "state_parts": p.by_parts.then_some(true), "force_n": p.size_n, "force_high_n": p.high_n,
        "forward_n": known.then_some(p.force.x), "left_n": known.then_some(p.force.y), "up_n": known.then_some(p.force.z),
        "bearing_deg": bearing_deg(p),
        "level_n": known.then(|| p.force.level()),
        "sense": p.sense.word(),
        "towards": p.towards.iter().map(|t| t.word()).collect::<Vec<_>>(),
        "joint": p.joint.word(), "restrained": p.restrained, "doubtful": p.doubtful,
    })
}

fn block(b: &ThrustBlock) -> Value {
    json!({
        "station_m": b.station_m, "works": b.kinds.iter().map(|k| block_word(*k)).collect::<Vec<_>>(),
        "soil": b.soil.map(crate::pipe::Soil::word), "table": b.ground.map(|g| table_word(g.table)), "depth_m": b.ground.map(|g| g.cover_m),
        "sideways_pa": b.ground.map(|g| g.sideways_pa), "highest_table_pa": b.ground.map(|g| g.sideways_high_pa), "downward_pa": b.ground.map(|g| g.downward_pa),
        "friction": b.ground.map(|g| g.friction),
        "bearing_m2": b.bearing_area_m2, "weight_n": b.weight_n, "volume_m3": b.volume_m3, "volume_wet_m3": b.volume_wet_m3,
        "long_m": b.size_m.0, "wide_m": b.size_m.1, "high_m": b.size_m.2, "sliding": b.sliding, "overturning": b.overturning, "base_pa": b.base_pa,
        "refused": b.refused.is_some(), "why_refused": b.refused.map(no_block), "from_memory": b.from_memory,
    })
}

fn end(p: &PullApart) -> Value {
    json!({
        "station_m": p.station_m, "place": place_word(p.place), "joint": p.joint.word(), "pressure_n": p.by_pressure_n, "shortening_n": p.by_shortening_n, "cold_n": p.by_cold_n,
        "shortens_m": p.shortens_m, "hold_n": p.hold_n, "tight_n": p.tight_n, "slack": p.slack != Slack::None, "slack_by": slack_word(p.slack), "from_memory": p.from_memory,
    })
}

fn slope(s: &SteepReach, stands: &[Appurtenance]) -> Value {
    json!({
        "from_station_m": s.from_m, "to_station_m": s.to_m, "slope_deg": s.slope_rad.to_degrees(), "friction": s.friction, "friction_known": s.friction_known,
        "slides_full_n_per_m": s.slides_full_n_per_m, "slides_empty_n_per_m": s.slides_empty_n_per_m, "pull_n": s.pull_n, "safety": s.safety, "anchor_n": s.anchor_n,
        "anchors_m": s.anchors_m, "handbook_spacing_m": s.handbook_spacing_m, "standing": standing(&s.standing, stands), "from_memory": s.from_memory,
    })
}

fn heat(h: &Heat) -> Value {
    json!({
        "from_station_m": h.from_m, "to_station_m": h.to_m, "hot_c": h.hot_c, "cold_c": h.cold_c, "moves_m": h.moves_m, "pressure_shortens_m": h.pressure_shortens_m,
        "held_hot_n": h.held_hot_n, "held_cold_night_n": h.held_cold_n.0, "held_cold_quick_n": h.held_cold_n.1, "drags_n": h.drags_n,
        "guide_spacing_m": h.guide_spacing_m, "swing_m": h.guide_spacing_m.map(|_| h.swing_m),
        "standing_gap_m": h.standing_swing.map(|s| s.0), "standing_swing_m": h.standing_swing.map(|s| s.1),
        "loops_m": h.loops_m, "from_memory": h.from_memory,
    })
}

fn flood(f: &Flooded, stands: &[Appurtenance]) -> Value {
    json!({
        "from_station_m": f.from_m, "to_station_m": f.to_m, "buried": f.buried, "lift_empty_n_per_m": f.lift_empty_n_per_m, "lift_full_n_per_m": f.lift_full_n_per_m,
        "drag_clear_n_per_m": f.drag_clear_n_per_m, "drag_n_per_m": f.drag_n_per_m, "pull_n_per_m": f.pull_n_per_m, "safety": f.safety,
        "strap_n": f.strap_n, "spacing_m": f.spacing_m, "standing": standing(&f.standing, stands), "holds_speed_m_per_s": f.holds_speed_m_per_s,
        "ballast_kg_per_m": f.ballast_kg_per_m, "from_memory": f.from_memory,
    })
}

fn support(s: &Supported) -> Value {
    json!({
        "from_station_m": s.from_m, "to_station_m": s.to_m, "at_c": s.at_c, "beam_spacing_m": s.beam_spacing_m, "table_spacing_m": s.table.map(|t| t.0), "table": s.table.map(|t| t.1),
        "spacing_m": s.spacing_m, "standing_span_m": s.standing_span_m, "sag_m": s.sag_m, "bending_pa": s.stress_pa.map(|p| p.0), "bending_allowed_pa": s.stress_pa.map(|p| p.1),
        "wanted_m": s.wanted_m, "from_memory": s.from_memory,
    })
}

fn curve(c: &Curve) -> Value {
    json!({
        "from_station_m": c.from_m, "to_station_m": c.to_m, "radius_m": c.radius_m, "angle_deg": c.angle_rad.to_degrees(), "pressure_pa": c.pressure_pa, "state": c.by.as_ref().map(ToString::to_string),
        "push_n_per_m": c.push_n_per_m, "holds_n_per_m": c.holds_n_per_m, "lacks_n_per_m": c.lacks_n_per_m(), "restrained": c.restrained, "pull_n": c.pull_n,
    })
}

fn jointed(j: &Jointed) -> Value {
    json!({
        "from_station_m": j.from_m, "to_station_m": j.to_m, "joint_m": j.joint_m, "moves_m": j.moves_m, "joint_friction_n": j.joint_friction_n, "joint_end_n": j.joint_end_n,
        "anchor_m": j.anchor.map(|a| a.0), "anchor_n": j.anchor.map(|a| a.1), "stands": j.stands.is_some(),
    })
}

fn steel(s: &SteelBend) -> Value {
    let case = |c: &SteelCase| {
        json!({
            "forward_n": c.force_n.x, "up_n": c.force_n.z, "sliding": c.stands.sliding, "overturning": c.stands.overturning, "base_pa": c.stands.largest_pa,
        })
    };
    json!({
        "station_m": s.station_m, "joint_m": s.joint_m, "pressure_pa": s.pressure_pa, "thrust_n": s.thrust_n, "pier_friction_n": s.pier_friction_n,
        "joint_friction_n": s.joint_friction_n, "joint_end_n": s.joint_end_n, "hangs_n": s.hangs_n, "warming": case(&s.warming), "cooling": case(&s.cooling),
        "long_m": s.size_m.0, "wide_m": s.size_m.1, "high_m": s.size_m.2, "volume_m3": s.size_m.0 * s.size_m.1 * s.size_m.2, "soil": s.soil.map(crate::pipe::Soil::word),
        "why_refused": s.refused.map(no_block), "from_memory": true,
    })
}

/// What stands, with what it holds over what it must; without that where its strength was not given.
fn standing(of: &[(usize, Option<f64>)], stands: &[Appurtenance]) -> Vec<Value> {
    of.iter()
        .filter_map(|(i, share)| {
            stands
                .get(*i)
                .map(|s| json!({"station_m": s.station_m, "holds_share": share}))
        })
        .collect()
}

/// What lets the pipe move beside a hold.
fn slack_word(slack: Slack) -> &'static str {
    match slack {
        Slack::None => "nothing",
        Slack::Loop => "loop",
        Slack::Joint => "expansion joint",
    }
}
