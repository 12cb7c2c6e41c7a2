use super::gauging::measured;
use crate::flow::{GaugeReading, Gauges, IntakeCheck, StreamUse, Submergence, Unused};
use crate::line::Measured;
use crate::report::words::{Say, next_reading, submergence_word, unused_word};
use serde_json::{Value, json};

/// The block `gauges`.
pub fn gauges(gauges: &Gauges, measured: &Measured, say: Say) -> Value {
    json!({
        "readings": gauges.readings.iter().map(|r| reading(r, measured)).collect::<Vec<_>>(),
        "unused": gauges.unused.iter().map(|(i, why)| unused(*i, *why, measured)).collect::<Vec<_>>(),
        "agree": gauges.agree(),
        "explanations": gauges.explanations.iter().map(|e| json!({
            "cause": e.cause.word(), "head_m": e.head_m, "sd_m": e.sd_m, "fit": e.fit, "alike": e.alike, "crests_m": e.crests_m, "came_later": e.came_later,
        })).collect::<Vec<_>>(),
        "ranked": gauges.ranked,
        "next_reading": gauges.next.as_ref().map(|n| next_reading(n, say)),
    })
}

fn reading(r: &GaugeReading, measured: &Measured) -> Value {
    let gauge = measured.gauges.get(r.gauge);
    json!({
        "gauge": r.gauge,
        "station_m": gauge.map(|g| g.station_m),
        "height_m": gauge.map(|g| g.height_m),
        "state": gauge.map(|g| g.state.to_string()),
        "shut": r.shut,
        "pressure_pa": gauge.map(|g| g.pressure_pa),
        "pressure_sd_pa": gauge.map(|g| g.pressure_sd_pa),
        "expected_pa": r.expected_pa,
        "off_m": r.off_m,
        "off_sd_m": r.off_sd_m,
        "agrees": r.agrees,
        "loss_m": r.loss_m,
        "loss_expected_m": r.loss_expected_m,
        "flow_m3_per_s": r.flow_m3_per_s,
        "flow_measured": r.flow_measured,
        "flow_expected_m3_per_s": r.flow_expected_m3_per_s,
    })
}

fn unused(index: usize, why: Unused, measured: &Measured) -> Value {
    json!({"gauge": index, "state": measured.gauges.get(index).map(|g| g.state.to_string()), "why": unused_word(why)})
}

/// The block `stream`: what may be taken month by month.
pub fn stream(stream: &StreamUse, plant: &Measured) -> Value {
    json!({
        "measured": measured(stream, plant),
        "months": stream.months.iter().map(|m| json!({
            "flow_m3_per_s": m.flow_m3_per_s, "may_take_m3_per_s": m.may_take_m3_per_s, "feeds": m.feeds.and_then(|i| stream.takes.get(i)).map(|t| t.state.to_string()),
        })).collect::<Vec<_>>(),
        "leave_m3_per_s": stream.leave_m3_per_s,
        "driest_month": stream.driest + 1,
        "takes": stream.takes.iter().map(|t| json!({"case": t.state.to_string(), "at_intake_m3_per_s": t.at_intake_m3_per_s, "stream_m3_per_s": t.stream_m3_per_s})).collect::<Vec<_>>(),
    })
}

/// The block `intake`.
pub fn intake(intake: &IntakeCheck) -> Value {
    json!({
        "case": intake.case.to_string(),
        "velocity_m_per_s": intake.velocity_m_per_s,
        "cover_m": intake.cover_m,
        "wanted_m": intake.wanted_m,
        "deep_enough": intake.is_deep_enough(),
        "siphon": intake.siphon.map(|s| json!({"crest_station_m": s.crest_station_m, "lift_m": s.lift_m, "gauge_m": s.gauge_m, "working_limit_m": s.working_limit_m, "vented": s.vented, "holds": s.holds})),
        "formulas": intake.formulas.iter().map(|(by, cover_m)| json!({"formula": submergence_word(*by), "cover_m": cover_m, "from_memory": by.is_from_memory(), "used": *by == Submergence::GordonUneven})).collect::<Vec<_>>(),
        "first_to_m": intake.first.to_m,
        "first_least_gauge_m": intake.first.least_gauge_m,
        "first_least_station_m": intake.first.least_station_m,
    })
}
