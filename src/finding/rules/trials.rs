//! The pressure test as it was done.

use crate::finding::{Finding, Kind, Severity, TestOutcome};
use crate::proof::{BACKFILLED, FREE, MAY_LOSE_PA, TestMethod, TestVerdict};
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
        TestMethod::Creep(creep) => creep,
        TestMethod::Drop(_) | TestMethod::Mixed => None,
    };
    let lost_pa = match proof.method {
        TestMethod::Drop(Some(drop)) => Some((drop.lost_pa, MAY_LOSE_PA)),
        _ => None,
    };
    let mut found = Vec::new();
    match proof.verdict {
        TestVerdict::Passes => {}
        TestVerdict::Leaks => {
            let trial = TestOutcome::Leaks {
                slope: creep.map(|c| (c.second.mean, most)),
                lost_pa,
            };
            found.push(told(Severity::Fix, trial));
        }
        TestVerdict::Air => {
            // only polyethylene is judged so
            found.extend(creep.map(|c| {
                let slope = c.first.mean;
                told(Severity::Fix, TestOutcome::Air { slope, least })
            }));
        }
        TestVerdict::CannotTell(doubt) => {
            found.push(told(Severity::Watch, TestOutcome::NotCertain(doubt)))
        }
    }
    if let Some(asked_pa) = proof.is_low(test.limit_pa) {
        let trial = TestOutcome::Low {
            pressure_pa: proof.first_pa,
            asked_pa,
        };
        found.push(told(Severity::Watch, trial));
    }
    found
}
