use super::buried::bedded;
use crate::finding::{PressureCause, cause, part};
use crate::line::Fitting;
use crate::mark::Mark;
use crate::report::marked::vents_on;
use crate::report::words::no_wheel;
use crate::strength::{MayTake, OutsideLow, ReachStrength, Strength, WheelLoad};
use crate::study::Zoned;
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
        "may_be": s.may_be.as_ref().map(|(weak, strong)| json!({"weakest": may_take(weak), "strongest": may_take(strong)})),
        "rating_pa": s.rating_pa,
        "allowed_pa": governing.map(|g| g.allowed_pa),
        "worst_station_m": governing.map(|g| g.station_m),
        "cause": governing.map(|g| cause_word(&cause(&g.cause))),
        "cause_parts": governing.filter(|g| g.cause.parts).map(|_| true),
        "weakest": governing.map(|g| part(&g.weakest)),
        "pressure_pa": governing.map(|g| g.pressure_pa),
        "pressure_high_pa": governing.map(|g| g.pressure_high_pa),
        "temperature_factor": governing.map(|g| g.temperature_factor),
        "wall_c": governing.map(|g| g.wall_c),
        "surge_allowance": governing.map(|g| g.surge_allowance),
        "share_left": s.left.share,
        "rust_m": (s.left.rust_m > 0.0).then_some(s.left.rust_m),
        "forbidden_joint": s.forbidden_joint,
        "too_warm_c": s.too_warm.map(|w| w.wall_c),
        "static_pa": s.static_pa,
        "static_high_pa": s.static_high_pa,
        "working_pa": s.working_pa,
        "filling_pa": s.filling_pa,
        "test_pa": s.test.map(|t| t.pressure_pa),
        "test_use_high": s.test.map(|t| t.use_high),
        "test_station_m": s.test.map(|t| t.station_m),
        "surge_routine_pa": s.surge_routine_pa,
        "surge_rare_pa": s.surge_rare_pa,
        "use": s.use_mean,
        "use_high": s.use_high,
        "collapse_pa": s.collapse_pa,
        "outside_use": s.outside_use,
        "outside_low": s.outside_low.as_ref().map(outside_low),
        "outside_pull_pa": s.outside.as_ref().map(|_| s.pull_pa),
        "outside_station_m": s.outside.as_ref().map(|o| o.0),
        "outside_cause": s.outside.as_ref().map(|o| cause_word(&cause(&o.1))),
        "held_by_ground": s.held_by_ground,
        "lightest_spec": s.lightest.as_ref().ok().map(|p| &p.spec),
        "standing_and_forty_percent_pa": s.habit_pa,
        "from_memory": s.from_memory,
    })
}

/// A grade that a pipe without a rating may be.
fn may_take(of: &MayTake) -> Value {
    json!({
        "grade": of.grade.grade, "standard": of.grade.standard, "rating_pa": of.grade.rating_pa, "use_high": of.use_high,
    })
}

/// From outside with the survey's doubt counted.
fn outside_low(low: &OutsideLow) -> Value {
    json!({
        "use": low.share,
        "use_mean": low.share_mean,
        "station_m": low.station_m,
        "cause": cause_word(&cause(&low.cause)),
        "pull_pa": low.pull_pa,
        "collapse_pa": low.collapse_pa,
    })
}

/// The block `zones`: the lightest class from station to station, carried back through flow and surge, where it can be told.
pub fn zones(zoned: &Zoned) -> Value {
    json!({
        "margin": zoned.margin,
        "mass_kg": zoned.mass_kg,
        "declared_mass_kg": zoned.declared_mass_kg,
        "list": (0..).zip(&zoned.list).map(|(i, z)| json!({
            "from_station_m": z.from_m, "to_station_m": z.to_m, "spec": z.pipe.spec, "differs": z.differs, "pieces": z.pieces, "mass_kg": z.mass_kg,
            "raised": zoned.raised.contains(&i),
        })).collect::<Vec<_>>(),
        "holds": zoned.holds,
        "rounds": zoned.rounds,
        "use_high": zoned.use_high,
        "declared_use_high": zoned.declared_use_high,
        "outside_use": zoned.outside_use,
        "surge_pa": zoned.surge_pa,
        "declared_surge_pa": zoned.declared_surge_pa,
        "parting": zoned.parting.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "cases": zoned.cases.iter().map(|c| json!({
            "name": c.state.to_string(), "flow_m3_per_s": c.flow_m3_per_s, "declared_flow_m3_per_s": c.declared_flow_m3_per_s,
            "net_head_m": c.net_head_m, "declared_net_head_m": c.declared_net_head_m,
        })).collect::<Vec<_>>(),
    })
}

/// The block `outside`: pipe that lives by its vents, joints that are sucked at, traffic.
pub fn outside(strength: &Strength, marks: &[Mark]) -> Value {
    json!({
        "needs_air": strength.needs_air.iter().map(|(from_m, to_m)| json!({
            "from_station_m": from_m, "to_station_m": to_m, "vents": vents_on(marks, *from_m, *to_m),
        })).collect::<Vec<_>>(),
        "joints": strength.suction.iter().map(|j| json!({
            "from_station_m": j.from_m, "to_station_m": j.to_m, "joint": j.joint.word(), "least_pa": j.least_pa, "least_low_pa": j.least_low_pa, "settled": j.settled, "station_m": j.station_m,
            "limit_pa": j.limit_pa, "cause": cause_word(&cause(&j.cause)), "own_limit": j.own_limit, "from_memory": !j.own_limit,
        })).collect::<Vec<_>>(),
        "traffic": strength.wheels.iter().map(traffic).collect::<Vec<_>>(),
        "trenches": strength.bedded.iter().map(bedded).collect::<Vec<_>>(),
    })
}

fn traffic(wheel: &WheelLoad) -> Value {
    let pressed = wheel.outcome.as_ref().ok();
    json!({
        "from_station_m": wheel.from_m,
        "to_station_m": wheel.to_m,
        "traffic": wheel.traffic.word(),
        "wheel_pa": pressed.map(|p| p.wheel_pa),
        "ground_pa": pressed.map(|p| p.ground_pa),
        "allowed_pa": pressed.map(|p| p.allowed_pa),
        "share": pressed.map(|p| p.share),
        "from_memory": true,
        "why": wheel.outcome.as_ref().err().map(|why| no_wheel(*why)),
    })
}

/// The block `not_judged`: fittings without a stated rating, and movements in which the water parts.
pub fn not_judged(strength: &Strength, fittings: &[Fitting]) -> Value {
    let fittings: Vec<&str> = strength
        .unrated_fittings
        .iter()
        .filter_map(|i| fittings.get(*i))
        .map(|f| f.name.as_str())
        .collect();
    let parting: Vec<String> = strength.parting.iter().map(ToString::to_string).collect();
    json!({"fittings": fittings, "parting": parting})
}

/// The word of a cause: "standing", a case's or movement's name.
pub fn cause_word(cause: &PressureCause) -> String {
    match cause {
        PressureCause::Standing => "standing".to_owned(),
        PressureCause::StandingInSun => "standing in the sun".to_owned(),
        PressureCause::Running(name) | PressureCause::Surge(name) => name.clone(),
        PressureCause::Filling => "filling".to_owned(),
        PressureCause::Test => "test".to_owned(),
        PressureCause::Emptied(how) => how.clone(),
    }
}
