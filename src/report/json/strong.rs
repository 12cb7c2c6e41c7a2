use crate::finding::{Cause, cause, part};
use crate::strength::{ReachStrength, Strength};
use serde_json::{Value, json};

/// The list `strength`: by reach of one pipe.
pub fn strength(strength: &Strength) -> Value {
    strength.reaches.iter().map(reach).collect()
}

fn reach(s: &ReachStrength) -> Value {
    let governing = s.governing.as_ref();
    json!({
        "from_station_m": s.from_m,
        "to_station_m": s.to_m,
        "spec": s.spec,
        "refused": s.refused,
        "rating_pa": s.rating_pa,
        "allowed_pa": governing.map(|g| g.allowed_pa),
        "worst_station_m": governing.map(|g| g.station_m),
        "cause": governing.map(|g| cause_word(&cause(&g.cause))),
        "weakest": governing.map(|g| part(&g.weakest)),
        "pressure_pa": governing.map(|g| g.pressure_pa),
        "pressure_high_pa": governing.map(|g| g.pressure_high_pa),
        "temperature_factor": governing.map(|g| g.temperature_factor),
        "wall_c": governing.map(|g| g.wall_c),
        "surge_allowance": governing.map(|g| g.surge_allowance),
        "share_left": s.left.share,
        "static_pa": s.static_pa,
        "static_high_pa": s.static_high_pa,
        "working_pa": s.working_pa,
        "surge_routine_pa": s.surge_routine_pa,
        "surge_rare_pa": s.surge_rare_pa,
        "use": s.use_mean,
        "use_high": s.use_high,
        "collapse_pa": s.collapse_pa,
        "outside_use": s.outside_use,
        "outside_station_m": s.outside.as_ref().map(|o| o.0),
        "outside_cause": s.outside.as_ref().map(|o| cause_word(&cause(&o.1))),
        "held_by_ground": s.held_by_ground,
        "lightest_spec": s.lightest.as_ref().ok().map(|p| &p.spec),
        "standing_and_forty_percent_pa": s.habit_pa,
        "from_memory": s.from_memory,
    })
}

/// The list `zones`: the lightest class from station to station, where it can be told.
pub fn zones(strength: &Strength) -> Option<Value> {
    let zones = strength.zones.as_ref().ok()?;
    Some(json!({
        "margin": zones.margin,
        "mass_kg": zones.mass_kg,
        "declared_mass_kg": zones.declared_mass_kg,
        "list": zones.list.iter().map(|z| json!({"from_station_m": z.from_m, "to_station_m": z.to_m, "spec": z.pipe.spec, "differs": z.differs, "pieces": z.pieces, "mass_kg": z.mass_kg})).collect::<Vec<_>>(),
    }))
}

/// The word of a cause: "standing", a case's or movement's name.
pub fn cause_word(cause: &Cause) -> String {
    match cause {
        Cause::Standing => "standing".to_owned(),
        Cause::StandingInSun => "standing in the sun".to_owned(),
        Cause::Running(name) | Cause::Surge(name) => name.clone(),
        Cause::Test => "test".to_owned(),
        Cause::Emptied => "drained".to_owned(),
    }
}
