use crate::air::{Air, Start, Verdict};
use crate::flow::{Limited, LimitedBy, Loss, Run, Taker};
use crate::line::Line;
use serde_json::{Value, json};

/// One entry of `cases`.
pub fn case(run: &Run, line: &Line) -> Value {
    let points: Vec<Value> = run.points.iter().map(|p| json!({"station_m": p.station_m, "grade_line_m": p.grade_line_m, "pressure_pa": p.pressure_pa.max(p.pressure_below_pa)})).collect();
    json!({
        "name": run.name,
        "flow_m3_per_s": run.flow_m3_per_s,
        "flow_sd_m3_per_s": run.flow_sd_m3_per_s,
        "gross_head_m": run.gross_head_m,
        "gross_head_sd_m": run.gross_head_sd_m,
        "net_head_m": run.net_head_m,
        "net_head_sd_m": run.net_head_sd_m,
        "friction_m": run.losses.friction_m,
        "local_m": run.losses.local_m,
        "air_m": run.losses.air_m,
        "fall_m": run.losses.fall_m,
        "losses": losses(run, line).into_iter().map(|(by, l)| json!({"by": by, "from_station_m": l.from_m, "to_station_m": l.to_m, "k": l.k, "head_m": l.head_m})).collect::<Vec<_>>(),
        "velocity_max_m_per_s": run.velocity_max_m_per_s,
        "velocity_max_station_m": run.velocity_max_station_m,
        "pressure_turbine_pa": run.pressure_turbine_pa,
        "pressure_turbine_sd_pa": run.pressure_turbine_sd_pa,
        "water_power_w": run.water_power_w,
        "water_power_sd_w": run.water_power_sd_w,
        "jet_power_w": run.jet_power_w,
        "jet_speed_m_per_s": run.jets.first().map(|j| j.speed_m_per_s),
        "electrical_w": run.electrical.map(|e| e.power_w),
        "electrical_low_w": run.electrical.map(|e| e.low_w),
        "electrical_high_w": run.electrical.map(|e| e.high_w),
        "slimed": run.slimed.map(|s| json!({"flow_m3_per_s": s.flow_m3_per_s, "net_head_m": s.net_head_m, "water_power_w": s.water_power_w, "pressure_turbine_pa": s.pressure_turbine_pa})),
        "limited_by": run.limited.as_ref().map(limited_word),
        "limited_station_m": run.limited.as_ref().map(|l| l.station_m),
        "points": points,
    })
}

fn limited_word(limited: &Limited) -> &'static str {
    match limited.by {
        LimitedBy::Crest => "crest",
        LimitedBy::Boiling => "boiling",
        LimitedBy::Stream => "stream",
    }
}

/// What takes head in a state, in station order, each with its word.
pub fn losses<'a>(run: &'a Run, line: &Line) -> Vec<(String, &'a Loss)> {
    run.losses
        .items
        .iter()
        .map(|l| (taker(l.by, line), l))
        .collect()
}

fn taker(by: Taker, line: &Line) -> String {
    match by {
        Taker::Entrance => "entrance".to_owned(),
        Taker::Screen => "screen".to_owned(),
        Taker::Wall(i) => format!(
            "pipe {}",
            line.reaches.get(i).map_or("", |r| r.pipe.spec.as_str())
        ),
        Taker::Fitting(i) => line
            .fittings
            .get(i)
            .map_or_else(String::new, |f| f.name.clone()),
        Taker::Bend(_) => "bend".to_owned(),
        Taker::ChangeOfBore(_) => "change of bore".to_owned(),
        Taker::Air => "air".to_owned(),
        Taker::Fall => "part-full fall".to_owned(),
    }
}

/// The word of a start's verdict.
pub fn start_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Starts => "starts",
        Verdict::MayStart => "may start",
        Verdict::Locks => "locks",
        Verdict::CannotTell => "cannot tell",
    }
}

/// The block `start_up`.
pub fn start_up(air: &Air) -> Value {
    let one = |s: &Start, vents: &[f64]| {
        json!({
            "verdict": start_word(s.verdict),
            "margin_worst_m": s.margin_worst_m,
            "margin_compressed_m": s.margin_compressed_m,
            "margin_sd_m": s.margin_sd_m,
            "probability_starts": s.probability_starts,
            "probability_starts_compressed": s.probability_compressed,
            "vents_needed": vents,
            "decided_by": s.decided_by.iter().map(|d| json!({"from_station_m": d.from_m, "to_station_m": d.to_m, "head_m": d.head_m, "head_sd_m": d.head_sd_m, "certainty": d.share})).collect::<Vec<_>>(),
        })
    };
    let mut block = one(&air.start, &air.cure.stations_m);
    if let Value::Object(map) = &mut block {
        map.insert("margin_with_vents_m".to_owned(), json!(air.cure.margin_m));
        map.insert(
            "unattended".to_owned(),
            one(&air.unattended, &air.cure.unattended_m),
        );
    }
    block
}
