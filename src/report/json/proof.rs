//! The pressure test as it was done.

use crate::finding::Trial;
use crate::proof::{Doubt, Method, Slope, Verdict};
use crate::report::words::{Say, proof_line, proof_word};
use crate::study::Study;
use serde_json::{Value, json};

/// The block `pressure_test`.
pub fn pressure_test(study: &Study, say: Say) -> Option<Value> {
    let proof = study.proof.as_ref()?;
    let test = study.line.pressure_test.as_ref()?;
    let (creep, drop) = match proof.method {
        Method::Creep(creep) => (creep, None),
        Method::Drop(drop) => (None, drop),
        Method::Mixed => (None, None),
    };
    let why = match proof.verdict {
        Verdict::CannotTell(doubt) => Some(doubt_code(doubt)),
        _ => None,
    };
    Some(json!({
        "verdict": proof_word(proof.verdict),
        "why_code": why,
        "text": proof_line(proof, say),
        "loading_s": test.loading_s,
        "readings": test.readings.iter().map(|(s, pa)| json!({"after_s": s, "pressure_pa": pa})).collect::<Vec<_>>(),
        "backfilled": test.backfilled,
        "asked_pa": proof.asked_pa,
        "slope_first": creep.map(|c| slope(&c.first)),
        "slope_second": creep.map(|c| slope(&c.second)),
        "lost_pa": drop.map(|d| d.lost_pa),
    }))
}

fn slope(s: &Slope) -> Value {
    json!({"mean": s.mean, "low": s.low, "high": s.high})
}

fn doubt_code(doubt: Doubt) -> &'static str {
    match doubt {
        Doubt::Readings => "readings",
        Doubt::Gauge => "gauge",
        Doubt::Backfill => "backfill",
        Doubt::Mixed => "mixed",
    }
}

/// Figures of what the test says.
pub(super) fn trial(trial: &Trial) -> Value {
    match trial {
        Trial::Leaks { slope, lost_pa } => {
            json!({"slope": slope.map(|s| s.0), "slope_limit": slope.map(|s| s.1), "lost_pa": lost_pa.map(|l| l.0), "limit_pa": lost_pa.map(|l| l.1)})
        }
        Trial::Air { slope, least } => json!({"slope": slope, "slope_limit": least}),
        Trial::NotCertain(doubt) => json!({"reason": doubt_code(*doubt)}),
        Trial::Low {
            pressure_pa,
            asked_pa,
        } => json!({"pressure_pa": pressure_pa, "asked_pa": asked_pa}),
    }
}
