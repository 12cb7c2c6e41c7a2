//! The list `findings`: what was found, with its figures by key and unit.

use super::block::block;
use super::running::LimitedJson;
use crate::finding::{Buried, Finding, Kind, Severity, Since, WithMarks};
use crate::words::{Say, advice, next_reading, no_deflection, no_fill, no_wheel, text, why_not};
use serde_json::{Value, json};

block! {
    struct FindingJson of (f: &Finding, say: Say) {
        id: String = format!("F{}", f.number),
        #[cfg_attr(test, schemars(extend("enum" = crate::finding::CODES)))]
        code: &'static str = f.kind.code(),
        /// Kind in words; `code` is stable.
        kind: &'static str = f.kind.word(),
        /// Severity: stop, fix (correct) or watch (check).
        severity: Severity = f.severity,
        from_station_m: f64 = f.from_m,
        to_station_m: f64 = f.to_m,
        certainty: f64 = f.certainty,
        /// In a comparison: before or new.
        since: Option<Since> = f.since,
        /// Effect of the required devices on the finding: stays or brought.
        with_marks: Option<WithMarks> = f.with_marks,
        /// Values of the finding.
        #[cfg_attr(test, schemars(with = "Kind"))]
        figures: Value = figures(&f.kind, say),
        text: String = text(f, say),
        r#do: String = advice(f, say),
        /// Topic of the page with the calculation method.
        basis: &'static str = f.kind.basis(),
        from_memory: bool = f.from_memory,
    }
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
        Kind::NotFull(of) => ("limited", json!(LimitedJson::of(&of.limited, say))),
        Kind::GaugeOff(of) => ("next_reading", json!(next_reading(of.next.as_ref()?, say))),
        _ => return None,
    })
}
