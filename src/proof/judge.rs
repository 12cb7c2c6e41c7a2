use super::creep::{BACKFILLED, Creep, FREE};
use super::drop::{MAY_LOSE_PA, PressureDrop};
use crate::line::{Measured, Reaches};
use crate::pipe::Material;

/// How a test is judged, by what the pipe is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TestMethod {
    /// Polyethylene: three readings, two slopes. `None`: they are not there.
    Creep(Option<Creep>),
    /// Steel and PVC: the loss in an hour. `None`: the hour is not there.
    Drop(Option<PressureDrop>),
    /// Polyethylene and other pipe in one test: the one creeps, the other does not.
    Mixed,
}

crate::text::words! {
    /// Why a test does not decide.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum TestDoubt {
        /// Readings are missing.
        Readings = "readings",
        /// The gauge is too rough for it.
        Gauge = "gauge",
        /// Whether the pipe was backfilled was not said, and it decides.
        Backfill = "backfill",
        /// Polyethylene and other pipe were tested together.
        Mixed = "mixed",
    }
}

/// What a test says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TestVerdict {
    /// It holds.
    Passes,
    /// It leaks.
    Leaks,
    /// Too much air is in the pipe: the test says nothing.
    Air,
    /// It does not decide.
    CannotTell(TestDoubt),
}

crate::text::by_word! {
    TestVerdict {
        Self::Passes => "passes",
        Self::Leaks => "leaks",
        Self::Air => "air",
        Self::CannotTell(_) => "cannot tell",
    }
}

/// The pressure test, judged.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Proof {
    /// How it was judged, with its figures.
    pub method: TestMethod,
    /// What it says.
    pub verdict: TestVerdict,
    /// The first reading, Pa.
    pub first_pa: f64,
    /// The pressure that the order of work asks for, Pa; `None`: it asks for none above the standing one.
    pub asked_pa: Option<f64>,
}

impl Proof {
    /// The pressure was lower than the order of work asks for, the gauge's limit aside; by how much was asked, Pa.
    pub fn is_low(&self, limit_pa: f64) -> Option<f64> {
        self.asked_pa
            .filter(|asked| self.first_pa + limit_pa < *asked)
    }
}

/// Judges the readings. `None` where none were declared, or no pipe.
pub fn proof(reaches: &Reaches, measured: &Measured, asked_pa: Option<f64>) -> Option<Proof> {
    let test = measured.pressure_test.as_ref()?;
    let first_pa = test.readings.first()?.1;
    let pe = |m: Material| m == Material::Pe;
    let made = || reaches.iter().map(|r| r.pipe.material);
    made().next()?;
    let (method, verdict) = if made().all(pe) {
        let creep = Creep::of(test);
        let verdict = creep.map_or(TestVerdict::CannotTell(TestDoubt::Readings), |c| {
            by_backfill(&c, test.backfilled)
        });
        (TestMethod::Creep(creep), verdict)
    } else if made().any(pe) {
        (TestMethod::Mixed, TestVerdict::CannotTell(TestDoubt::Mixed))
    } else {
        let drop = PressureDrop::of(test);
        let verdict = drop.map_or(TestVerdict::CannotTell(TestDoubt::Readings), |d| {
            if d.between_pa.1 <= MAY_LOSE_PA {
                TestVerdict::Passes
            } else if d.between_pa.0 > MAY_LOSE_PA {
                TestVerdict::Leaks
            } else {
                TestVerdict::CannotTell(TestDoubt::Gauge)
            }
        });
        (TestMethod::Drop(drop), verdict)
    };
    Some(Proof {
        method,
        verdict,
        first_pa,
        asked_pa,
    })
}

/// Where it was not said how the pipe lay, both must say the same.
fn by_backfill(creep: &Creep, backfilled: Option<bool>) -> TestVerdict {
    let held = by_slopes(creep, BACKFILLED);
    let free = by_slopes(creep, FREE);
    match backfilled {
        Some(true) => held,
        Some(false) => free,
        None if held == free => held,
        None => TestVerdict::CannotTell(TestDoubt::Backfill),
    }
}

/// Air softens the fall at the beginning; a leak makes it steeper towards the end.
fn by_slopes(creep: &Creep, (least, most): (f64, f64)) -> TestVerdict {
    if creep.first.high < least {
        TestVerdict::Air
    } else if creep.second.low > most {
        TestVerdict::Leaks
    } else if creep.first.mean >= least && creep.second.high <= most {
        TestVerdict::Passes
    } else {
        TestVerdict::CannotTell(TestDoubt::Gauge)
    }
}

#[cfg(test)]
mod tests {
    use super::super::CreepSlope;
    use super::*;

    fn exact(first: f64, second: f64) -> Creep {
        let sharp = |mean| CreepSlope {
            mean,
            low: mean,
            high: mean,
        };
        Creep {
            first: sharp(first),
            second: sharp(second),
        }
    }

    #[test]
    fn air_and_leaks_are_told_apart() {
        assert_eq!(
            by_backfill(&exact(0.045, 0.045), Some(true)),
            TestVerdict::Passes
        );
        assert_eq!(
            by_backfill(&exact(0.045, 0.08), Some(true)),
            TestVerdict::Leaks
        );
        assert_eq!(
            by_backfill(&exact(0.02, 0.045), Some(true)),
            TestVerdict::Air
        );
        assert_eq!(
            by_backfill(&exact(0.09, 0.09), Some(false)),
            TestVerdict::Passes
        );
        assert_eq!(
            by_backfill(&exact(0.09, 0.09), None),
            TestVerdict::CannotTell(TestDoubt::Backfill)
        );
        assert_eq!(by_backfill(&exact(0.09, 0.2), None), TestVerdict::Leaks);
        assert_eq!(by_backfill(&exact(0.01, 0.01), None), TestVerdict::Air);
    }
}
