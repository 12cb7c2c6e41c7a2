//! The list `findings`: what was found, with its figures by key and unit.

use super::running::limited;
use crate::finding::{Buried, Finding, Kind, Since, WithMarks};
use crate::report::words::{
    Say, advice, next_reading, no_deflection, no_fill, no_wheel, text, why_not,
};
use serde_json::{Value, json};

/// The list `findings`.
pub fn findings(findings: &[Finding], say: Say) -> Value {
    findings.iter().map(|f| one(f, say)).collect()
}

fn one(f: &Finding, say: Say) -> Value {
    json!({
        "id": format!("F{}", f.number),
        "code": f.kind.code(),
        "kind": f.kind.word(),
        "severity": f.severity.word(),
        "from_station_m": f.from_m,
        "to_station_m": f.to_m,
        "certainty": f.certainty,
        "since": f.since.map(Since::word),
        "with_marks": f.with_marks.map(WithMarks::word),
        "figures": figures(&f.kind, say),
        "text": text(f, say),
        "do": advice(f, say),
        "basis": f.kind.basis(),
        "from_memory": f.from_memory,
    })
}

/// The figures behind a finding, SI, the unit in the key; and what is told there in sentences.
fn figures(kind: &Kind, say: Say) -> Value {
    let mut figures = json!(kind);
    if let Some((key, told)) = sentence(kind, say)
        && let Some(place) = figures.get_mut(key)
    {
        *place = told;
    }
    figures
}

/// What a finding tells beside its figures in words of the user's units, by the key that holds its place.
fn sentence(kind: &Kind, say: Say) -> Option<(&'static str, Value)> {
    Some(match kind {
        Kind::CannotBe(of) => ("reason", json!(why_not(of.why, of.fitting.as_deref(), say))),
        Kind::TrafficLoad(of) => ("reason", json!(no_wheel(of.outcome.err()?))),
        Kind::Buried(Buried::FloatNotJudged { why, .. }) => ("reason", json!(no_fill(*why))),
        Kind::Buried(Buried::DeflectionNotJudged { why }) => ("reason", json!(no_deflection(*why))),
        Kind::NotFull(of) => ("limited", limited(&of.limited, say)),
        Kind::GaugeOff(of) => ("next_reading", json!(next_reading(of.next.as_ref()?, say))),
        _ => return None,
    })
}
