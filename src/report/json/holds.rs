use crate::anchor::{Anchor, At, Towards};
use crate::report::words::joint_word;
use serde_json::{Value, json};

/// The block `anchors`: thrusts, blocks, slopes, heat, floods, supports.
pub fn anchors(anchor: &Anchor) -> Value {
    json!({
        "thrusts": anchor.pushes.iter().map(|p| json!({
            "at": at_word(&p.at), "station_m": p.station_m, "angle_deg": p.angle_rad.to_degrees(), "pressure_pa": p.pressure_pa, "force_n": p.size_n, "force_high_n": p.high_n,
            "forward_n": p.force.x, "left_n": p.force.y, "up_n": p.force.z, "towards": p.towards.iter().map(|t| towards_word(*t)).collect::<Vec<_>>(),
            "joint": joint_word(p.joint), "restrained": p.restrained, "doubtful": p.doubtful,
        })).collect::<Vec<_>>(),
        "blocks": anchor.blocks.iter().map(|b| json!({
            "station_m": b.station_m, "bearing_m2": b.bearing_area_m2, "weight_n": b.weight_n, "volume_m3": b.volume_m3, "volume_wet_m3": b.volume_wet_m3,
            "long_m": b.size_m.0, "wide_m": b.size_m.1, "high_m": b.size_m.2, "sliding": b.sliding, "overturning": b.overturning, "base_pa": b.base_pa,
            "refused": b.refused.is_some(), "from_memory": b.from_memory,
        })).collect::<Vec<_>>(),
        "ends": anchor.pulls.iter().map(|p| json!({
            "station_m": p.station_m, "joint": joint_word(p.joint), "pressure_n": p.by_pressure_n, "shortening_n": p.by_shortening_n, "cold_n": p.by_cold_n, "shortens_m": p.shortens_m, "hold_n": p.hold_n,
        })).collect::<Vec<_>>(),
        "slopes": anchor.slopes.iter().map(|s| json!({
            "from_station_m": s.from_m, "to_station_m": s.to_m, "slope_deg": s.slope_rad.to_degrees(), "friction": s.friction, "pull_n": s.pull_n, "anchor_n": s.anchor_n,
            "anchors_m": s.anchors_m, "handbook_spacing_m": s.handbook_spacing_m,
        })).collect::<Vec<_>>(),
        "heat": anchor.heat.iter().map(|h| json!({
            "from_station_m": h.from_m, "to_station_m": h.to_m, "hot_c": h.hot_c, "cold_c": h.cold_c, "moves_m": h.moves_m, "held_hot_n": h.held_hot_n,
            "guide_spacing_m": h.guide_spacing_m, "loops_m": h.loops_m,
        })).collect::<Vec<_>>(),
        "floods": anchor.floods.iter().map(|f| json!({
            "from_station_m": f.from_m, "to_station_m": f.to_m, "lift_empty_n_per_m": f.lift_empty_n_per_m, "drag_n_per_m": f.drag_n_per_m, "pull_n_per_m": f.pull_n_per_m,
            "strap_n": f.strap_n, "spacing_m": f.spacing_m, "holds_speed_m_per_s": f.holds_speed_m_per_s, "ballast_kg_per_m": f.ballast_kg_per_m,
        })).collect::<Vec<_>>(),
        "supports": anchor.supports.iter().map(|s| json!({
            "from_station_m": s.from_m, "to_station_m": s.to_m, "spacing_m": s.spacing_m, "standing_span_m": s.standing_span_m, "sag_m": s.sag_m, "wanted_m": s.wanted_m,
        })).collect::<Vec<_>>(),
    })
}

/// What pushes, in words.
pub fn at_word(at: &At) -> String {
    match at {
        At::Bend => "bend".to_owned(),
        At::Elbow(name) | At::Valve(name) | At::Tee(name) => name.clone(),
        At::End => "end".to_owned(),
        At::Reducer => "change of bore".to_owned(),
    }
}

/// Where it pushes, in words.
pub fn towards_word(towards: Towards) -> &'static str {
    match towards {
        Towards::Downhill => "downhill",
        Towards::Uphill => "uphill",
        Towards::Left => "left",
        Towards::Right => "right",
        Towards::Up => "up",
        Towards::Down => "down",
    }
}
