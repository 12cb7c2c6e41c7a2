//! The pressure test as it was done.

use crate::finding::{Finding, Kind, Severity, Trial};
use crate::proof::{BACKFILLED, FREE, MAY_LOSE_PA, Method, Verdict};
use crate::study::Study;

/// What the test says, and whether its pressure was enough.
pub fn tested(study: &Study) -> Vec<Finding> {
    let (Some(proof), Some(test)) = (&study.proof, &study.line.pressure_test) else {
        return Vec::new();
    };
    // limits from secondary sources and from memory
    let told = |severity, trial| {
        Finding::new(severity, Kind::Trial(trial), 0.0, study.line.length_m()).from_memory(true)
    };
    let (least, most) = if test.backfilled == Some(false) {
        FREE
    } else {
        BACKFILLED
    };
    let creep = match proof.method {
        Method::Creep(creep) => creep,
        Method::Drop(_) | Method::Mixed => None,
    };
    let lost_pa = match proof.method {
        Method::Drop(Some(drop)) => Some((drop.lost_pa, MAY_LOSE_PA)),
        _ => None,
    };
    let mut found = Vec::new();
    match proof.verdict {
        Verdict::Passes => {}
        Verdict::Leaks => {
            let trial = Trial::Leaks {
                slope: creep.map(|c| (c.second.mean, most)),
                lost_pa,
            };
            found.push(told(Severity::Fix, trial));
        }
        Verdict::Air => {
            // only polyethylene is judged so
            found.extend(creep.map(|c| {
                let slope = c.first.mean;
                told(Severity::Fix, Trial::Air { slope, least })
            }));
        }
        Verdict::CannotTell(doubt) => found.push(told(Severity::Watch, Trial::NotCertain(doubt))),
    }
    if let Some(asked_pa) = proof.is_low(test.limit_pa) {
        let trial = Trial::Low {
            pressure_pa: proof.first_pa,
            asked_pa,
        };
        found.push(told(Severity::Watch, trial));
    }
    found
}
