//! What movements do, as `surges` and `filling_blow`.

use crate::pipe::Often;
use crate::surge::{
    ClosingTimeSearch, Governs, HeadHistory, ScheduleStage, Surge, SurgeAssumption, Surges, Timing,
};
use serde_json::{Value, json};

/// One entry of `surges`.
pub fn surge(surge: &Surge) -> Value {
    let points: Vec<Value> = surge
        .points
        .iter()
        .map(|p| json!({"station_m": p.station_m, "head_max_m": p.head_max_m, "head_min_m": p.head_min_m, "pressure_max_pa": p.pressure_max_pa, "pressure_min_pa": p.pressure_min_pa}))
        .collect();
    let trace = |t: &HeadHistory| json!({"station_m": t.station_m, "time_s": t.points.iter().map(|p| p.0).collect::<Vec<_>>(), "head_m": t.points.iter().map(|p| p.1).collect::<Vec<_>>()});
    let mut out = json!({
        "movement": surge.movement,
        "often": match surge.often { Often::Routine => "routine", Often::Rare => "rare" },
        "standard": !surge.asked,
        "answered_by": surge.answered_by,
        "during": surge.during.to_string(),
        "from": surge.from,
        "to": surge.to,
        "over_s": surge.over_s,
        "law": surge.law.word(),
        "timing": timing(surge.timing),
        "valid": surge.valid,
    });
    let states: Vec<Value> = surge
        .states
        .iter()
        .map(|s| json!({"state": s.state.to_string(), "head_max_m": s.head_max_m, "head_min_m": s.head_min_m}))
        .collect();
    let came_to = json!({
        "states": states,
        "wave_speeds_m_per_s": surge.wave_speeds_m_per_s,
        "wave_speeds_low_m_per_s": surge.wave_speed_bands_m_per_s.iter().map(|b| b.low).collect::<Vec<_>>(),
        "wave_speeds_high_m_per_s": surge.wave_speed_bands_m_per_s.iter().map(|b| b.high).collect::<Vec<_>>(),
        "wave_speed_adjustment": surge.adjustment,
        "grid_shift_m": surge.moved_m,
        "critical_time_s": surge.critical_time_s,
        "shortest_safe_s": surge.shortest_safe_s,
        "search": surge.search.as_ref().map(search),
        "head_max_m": surge.head_max_m,
        "head_max_at_s": surge.head_max_at_s,
        "head_min_m": surge.head_min_m,
        "head_max_slow_m": surge.head_slow_m.0,
        "head_min_slow_m": surge.head_slow_m.1,
        "vapour": surge.vapour.is_some(),
        "vapour_from_m": surge.vapour.map(|v| v.from_m),
        "vapour_to_m": surge.vapour.map(|v| v.to_m),
        "vapour_at_s": surge.vapour.map(|v| v.at_s),
        "vapour_first_m": surge.vapour.map(|v| v.first_m),
        "air_at_jets": surge.air_at_jets,
        "stands_counted": stands(surge, true),
        "stands_left_out": stands(surge, false),
        "points": points,
        "at_turbine": trace(&surge.at_turbine),
        "at_worst": trace(&surge.at_worst),
        "closed_forms": {
            "velocity_change_m_per_s": surge.closed.velocity_change_m_per_s,
            "joukowsky_m": surge.closed.joukowsky_m,
            "michaud_m": surge.closed.michaud_m,
            "rigid_m": surge.closed.rigid_m,
            "interlocking_m": surge.closed.interlocking_m,
            "blocked_jet_m": surge.closed.blocked_jet_m,
            "marched_rise_m": surge.closed.marched_rise_m,
            "marched_fall_m": surge.closed.marched_fall_m,
        },
    });
    // one object in two parts: the macro recurses over its keys
    if let (Some(all), Value::Object(more)) = (out.as_object_mut(), came_to) {
        all.extend(more);
    }
    out
}

fn timing(timing: Timing) -> &'static str {
    match timing {
        Timing::Said => "said",
        Timing::AtOnce => "at once",
        Timing::Runaway => "loss of load",
        Timing::QuickLever => "quarter turn, quick",
        Timing::HandWheel => "hand wheel",
        Timing::ByHand => "by hand",
    }
}

fn search(search: &ClosingTimeSearch) -> Value {
    let stages = |s: &Vec<ScheduleStage>| -> Vec<Value> {
        s.iter()
            .map(|s| json!({"to": s.to, "over_s": s.over_s}))
            .collect()
    };
    json!({
        "straight_s": search.straight_s,
        "stages": search.staged.as_ref().map(stages),
        "longest_s": search.longest_s,
        "governing_station_m": search.governing_station_m,
        "governed_by": match search.governed_by { Governs::Largest => "largest", Governs::Least => "least" },
        "no_time_helps": search.hopeless,
    })
}

/// Marks on the line that took part, or could not: their indexes among the marks.
fn stands(surge: &Surge, counted: bool) -> Vec<usize> {
    surge
        .taken
        .iter()
        .filter_map(|t| match t {
            SurgeAssumption::StandCounted(i) if counted => Some(*i),
            SurgeAssumption::StandLeftOut(i) if !counted => Some(*i),
            _ => None,
        })
        .collect()
}

/// The blow at filling.
pub fn filling(surges: &Surges) -> Option<Value> {
    surges.filling.map(|f| json!({"speed_m_per_s": f.speed_m_per_s, "wave_speed_m_per_s": f.wave_speed_m_per_s, "rise_m": f.rise_m, "pressure_end_pa": f.pressure_end_pa}))
}
