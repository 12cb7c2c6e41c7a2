use crate::flow::{Cause, Gauges, Intake, NextReading, StreamUse};
use serde_json::{Value, json};

/// The block `gauges`.
pub fn gauges(gauges: &Gauges) -> Value {
    json!({
        "readings": gauges.readings.iter().map(|r| json!({
            "gauge": r.gauge, "shut": r.shut, "expected_pa": r.expected_pa, "off_m": r.off_m, "off_sd_m": r.off_sd_m, "agrees": r.agrees,
            "loss_m": r.loss_m, "loss_expected_m": r.loss_expected_m, "flow_m3_per_s": r.flow_m3_per_s, "flow_measured": r.flow_measured,
        })).collect::<Vec<_>>(),
        "agree": gauges.agree(),
        "explanations": gauges.explanations.iter().map(|e| json!({
            "cause": cause_word(e.cause), "head_m": e.head_m, "sd_m": e.sd_m, "fit": e.fit, "alike": e.alike, "crests_m": e.crests_m,
        })).collect::<Vec<_>>(),
        "ranked": gauges.ranked,
        "next_reading": gauges.next.as_ref().map(next_words),
    })
}

/// A cause in words.
pub fn cause_word(cause: Cause) -> &'static str {
    match cause {
        Cause::Drop => "drop or water level",
        Cause::Gauge => "gauge",
        Cause::StandingAir => "standing air",
        Cause::Friction => "rougher or narrower pipe",
        Cause::Obstruction => "something in the way",
        Cause::JetFlow => "jets pass another flow",
    }
}

/// The next reading in words.
pub fn next_words(next: &NextReading) -> String {
    match next {
        NextReading::ShutAtTurbine => {
            "shut at the turbine, with the pipe full and the valve at the top open".to_owned()
        }
        NextReading::RunningWithFlow => "running, with the flow measured".to_owned(),
        NextReading::MeasureFlow => "the same state again, with the flow measured".to_owned(),
        NextReading::AnotherFlow => "another number of jets, with the flow measured".to_owned(),
        NextReading::AnotherStation { station_m } => {
            format!("the same state at {station_m:.0} m along the pipe")
        }
        NextReading::AfterBleeding { stations_m } => {
            let at: Vec<String> = stations_m.iter().map(|s| format!("{s:.0} m")).collect();
            format!("shut again, after letting the air out at {}", at.join(", "))
        }
        NextReading::SecondGauge => "shut again with another gauge".to_owned(),
    }
}

/// The block `stream`: what may be taken month by month.
pub fn stream(stream: &StreamUse) -> Value {
    json!({
        "months": stream.months.iter().map(|m| json!({
            "flow_m3_per_s": m.flow_m3_per_s, "may_take_m3_per_s": m.may_take_m3_per_s, "feeds": m.feeds.and_then(|i| stream.takes.get(i)).map(|t| &t.name),
        })).collect::<Vec<_>>(),
        "takes": stream.takes.iter().map(|t| json!({"case": t.name, "at_intake_m3_per_s": t.at_intake_m3_per_s, "stream_m3_per_s": t.stream_m3_per_s})).collect::<Vec<_>>(),
    })
}

/// The block `intake`.
pub fn intake(intake: &Intake) -> Value {
    json!({
        "case": intake.case,
        "velocity_m_per_s": intake.velocity_m_per_s,
        "cover_m": intake.cover_m,
        "wanted_m": intake.wanted_m,
        "deep_enough": intake.is_deep_enough(),
        "siphon": intake.siphon.map(|s| json!({"crest_station_m": s.crest_station_m, "lift_m": s.lift_m, "gauge_m": s.gauge_m, "working_limit_m": s.working_limit_m, "holds": s.holds})),
        "first_to_m": intake.first.to_m,
    })
}
