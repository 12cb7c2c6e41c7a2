use crate::flow::checks::{ByHazen, Carrying, HazenForm};
use crate::flow::{DoubtPart, JetRun, Largest, Limited, Remedy, Run, Stretch};
use crate::line::{Discharge, Line, Outlet};
use crate::report::words::{
    Say, doubt_word, limited_word, losses, regime_word, remedy, remedy_word,
};
use serde_json::{Value, json};

/// One entry of `cases`.
pub fn case(run: &Run, line: &Line, say: Say) -> Value {
    let points: Vec<Value> = run.points.iter().map(|p| json!({"station_m": p.station_m, "grade_line_m": p.grade_line_m, "pressure_pa": p.pressure_pa.max(p.pressure_below_pa)})).collect();
    let mut out = json!({
        "name": run.state().to_string(),
        "level": run.wish.level.word(),
        "level_m": run.level_m,
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
        "losses": losses(run, &line.reaches, &line.fittings).into_iter().map(|(by, l)| json!({"by": by, "from_station_m": l.from_m, "to_station_m": l.to_m, "k": l.k, "head_m": l.head_m, "from_memory": l.from_memory})).collect::<Vec<_>>(),
        "velocity_max_m_per_s": run.velocity_max_m_per_s,
        "velocity_max_station_m": run.velocity_max_station_m,
        "velocity_limit_m_per_s": line.wishes.limits.velocity_m_per_s,
        "too_fast": run.velocity_max_m_per_s > line.wishes.limits.velocity_m_per_s,
        "pressure_turbine_pa": run.pressure_turbine_pa,
        "pressure_turbine_sd_pa": run.pressure_turbine_sd_pa,
    });
    let rest = json!({
        "water_power_w": run.water_power_w,
        "water_power_sd_w": run.water_power_sd_w,
        "jet_power_w": run.jet_power_w,
        "jet_speed_m_per_s": run.jets.first().map(|j| j.speed_m_per_s),
        "jets": run.jets.iter().map(|j| jet(j, line.outlet.as_ref())).collect::<Vec<_>>(),
        "electrical_w": run.electrical.map(|e| e.power_w),
        "electrical_low_w": run.electrical.map(|e| e.low_w),
        "electrical_high_w": run.electrical.map(|e| e.high_w),
        "slimed": run.aged.map(|s| json!({"flow_m3_per_s": s.flow_m3_per_s, "net_head_m": s.net_head_m, "water_power_w": s.water_power_w, "pressure_turbine_pa": s.pressure_turbine_pa})),
        "doubts": run.doubts.iter().map(doubt).collect::<Vec<_>>(),
        "stretches": run.stretches.iter().map(stretch).collect::<Vec<_>>(),
        "silt": run.silt.iter().map(silt).collect::<Vec<_>>(),
        "hazen_williams": run.by_hazen.as_ref().map(hazen),
        "limited_by": run.limited.as_ref().map(|l| limited_word(l.by)),
        "limited_station_m": run.limited.as_ref().map(|l| l.station_m),
        "limited": run.limited.as_ref().map(|l| limited(l, say)),
        "points": points,
    });
    // one object in two parts: the macro recurses over its keys
    if let (Some(all), Value::Object(more)) = (out.as_object_mut(), rest) {
        all.extend(more);
    }
    out
}

fn jet(run: &JetRun, outlet: Option<&Outlet>) -> Value {
    let name = match outlet.map(|o| &o.how) {
        Some(Discharge::Jets(jets)) => jets.get(run.jet).map(|j| j.name.as_str()),
        _ => None,
    };
    json!({"name": name, "flow_m3_per_s": run.flow_m3_per_s, "speed_m_per_s": run.speed_m_per_s, "diameter_m": run.diameter_m})
}

fn doubt(d: &DoubtPart) -> Value {
    json!({"of": doubt_word(d.of), "flow_m3_per_s": d.flow_m3_per_s, "net_head_m": d.net_head_m, "water_power_w": d.power_w, "pressure_turbine_pa": d.pressure_pa})
}

fn stretch(s: &Stretch) -> Value {
    json!({"from_station_m": s.from_m, "to_station_m": s.to_m, "flow_m3_per_s": s.flow_m3_per_s, "velocity_m_per_s": s.velocity_m_per_s, "reynolds": s.reynolds, "regime": regime_word(s.regime), "friction_factor": s.friction_factor})
}

fn silt(c: &Carrying) -> Value {
    json!({"from_station_m": c.from_m, "to_station_m": c.to_m, "velocity_m_per_s": c.velocity_m_per_s, "carries_m_per_s": c.carries_m_per_s, "flushes_m_per_s": c.flushes_m_per_s, "settles": c.settles(), "from_memory": true})
}

fn hazen(by: &ByHazen) -> Value {
    let form = match by.form {
        HazenForm::Metric => "10.67 Q^1.852 / (C^1.852 D^4.8704), m and m3/s",
        HazenForm::UsTables => {
            "0.2083 (100/C)^1.852 q^1.852 / d^4.8655, feet in 100 ft, US gpm, in"
        }
        HazenForm::Definition => "1.318 C R^0.63 S^0.54, ft and s",
    };
    json!({"friction_m": by.friction_m, "form": form, "c": by.c, "outside_its_range": by.outside})
}

/// Why a line does not run full, and what would help.
pub fn limited(l: &Limited, say: Say) -> Value {
    json!({
        "by": limited_word(l.by),
        "station_m": l.station_m,
        "vented": l.vented,
        "suction_m": l.suction_m,
        "working_limit_m": l.working_limit_m,
        "boiling_limit_m": l.boiling_limit_m,
        "full_again_m": l.full_again_m,
        "at_best": l.at_best.map(|b| json!({"flow_m3_per_s": b.flow_m3_per_s, "net_head_m": b.net_head_m, "water_power_w": b.water_power_w})),
        "remedies": l.remedies.iter().map(|r| one_remedy(r, l, say)).collect::<Vec<_>>(),
    })
}

fn one_remedy(r: &Remedy, limited: &Limited, say: Say) -> Value {
    let mut out = match *r {
        Remedy::Throttle {
            flow_m3_per_s,
            net_head_m,
            water_power_w,
            area_share,
        } => {
            json!({"flow_m3_per_s": flow_m3_per_s, "net_head_m": net_head_m, "water_power_w": water_power_w, "area_share": area_share})
        }
        Remedy::LowerCrest { by_m } => json!({"by_m": by_m}),
        Remedy::LargerUpperPipe { bore_m } => json!({"bore_m": bore_m}),
        Remedy::ShutVent => json!({}),
    };
    if let Some(all) = out.as_object_mut() {
        all.insert("what".to_owned(), json!(remedy_word(r)));
        all.insert("text".to_owned(), json!(remedy(r, limited, say)));
    }
    out
}

/// The block `largest_power`.
pub fn largest(l: &Largest) -> Value {
    json!({
        "flow_m3_per_s": l.flow_m3_per_s,
        "net_head_m": l.net_head_m,
        "loss_share": l.loss_share,
        "water_power_w": l.water_power_w,
        "jets_area_m2": l.area_m2,
        "nozzle_diameter_m": l.nozzle_diameter_m,
        "held_by_crest": l.held_by_crest,
    })
}
