//! The pressure test as it was done.

use crate::proof::{CreepSlope, TestMethod, TestVerdict};
use crate::report::words::{Say, proof_line, proof_word};
use crate::study::Study;
use serde_json::{Value, json};

/// The block `pressure_test`.
pub fn pressure_test(study: &Study, say: Say) -> Option<Value> {
    let proof = study.proof.as_ref()?;
    let test = study.line.measured.pressure_test.as_ref()?;
    let (creep, drop) = match proof.method {
        TestMethod::Creep(creep) => (creep, None),
        TestMethod::Drop(drop) => (None, drop),
        TestMethod::Mixed => (None, None),
    };
    let why = match proof.verdict {
        TestVerdict::CannotTell(doubt) => Some(doubt.word()),
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

fn slope(s: &CreepSlope) -> Value {
    json!({"mean": s.mean, "low": s.low, "high": s.high})
}
