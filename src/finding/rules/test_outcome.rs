//! The pressure test as it was done.

use super::{Found, Severity, Study, rows};
use crate::proof::TestDoubt;
use crate::proof::{BACKFILLED, FREE, MAY_LOSE_PA, TestMethod, TestVerdict};

rows! {
    /// What the pressure test says.
    #[serde(untagged)]
    pub enum TestOutcome {
        /// It leaks.
        Leaks {
            /// How steeply polyethylene lost its pressure at the end.
            slope: Option<f64>,
            /// The most of a tight pipe.
            #[serde(rename = "slope_limit")]
            most: Option<f64>,
            /// What other pipe lost in an hour, Pa.
            lost_pa: Option<f64>,
            /// What it may lose, Pa.
            limit_pa: Option<f64>,
        },
        /// Too much air was in the pipe.
        Air {
            /// Slope at the beginning.
            slope: f64,
            /// The least of sound pipe without air.
            #[serde(rename = "slope_limit")]
            least: f64,
        },
        /// It does not decide.
        NotCertain {
            /// Why.
            #[serde(rename = "reason")]
            doubt: TestDoubt,
        },
        /// The pressure was lower than is asked for.
        Low {
            /// The first reading, Pa.
            pressure_pa: f64,
            /// Asked, Pa.
            asked_pa: f64,
        },
    }
    TestOutcome::Leaks { .. } => "test-leaks", "test leaks", "commissioning", People;
    TestOutcome::Air { .. } => "test-air", "test air", "commissioning", People;
    TestOutcome::NotCertain { .. } => "test-not-certain", "test not certain", "commissioning", People;
    TestOutcome::Low { .. } => "test-low", "test low", "commissioning", People;
}

/// What the test says, and whether its pressure was enough.
pub(in crate::finding) fn found(study: &Study) -> Vec<Found<TestOutcome>> {
    let (Some(proof), Some(test)) = (&study.proof, &study.line.measured.pressure_test) else {
        return Vec::new();
    };
    // limits from secondary sources and from memory
    let told = |severity, trial| Found::along(severity, trial, study).on_memory(true);
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
        TestMethod::Drop(Some(drop)) => Some(drop.lost_pa),
        _ => None,
    };
    let mut found = Vec::new();
    match proof.verdict {
        TestVerdict::Passes => {}
        TestVerdict::Leaks => {
            let trial = TestOutcome::Leaks {
                slope: creep.map(|c| c.second.mean),
                most: creep.map(|_| most),
                lost_pa,
                limit_pa: lost_pa.map(|_| MAY_LOSE_PA),
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
            found.push(told(Severity::Watch, TestOutcome::NotCertain { doubt }))
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
