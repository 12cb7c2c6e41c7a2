use super::creep::{BACKFILLED, Creep, FREE};
use super::drop::{Drop, MAY_LOSE_PA};
use crate::line::Line;
use crate::pipe::Material;

/// How a test is judged, by what the pipe is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Method {
    /// Polyethylene: three readings, two slopes. `None`: they are not there.
    Creep(Option<Creep>),
    /// Steel and PVC: the loss in an hour. `None`: the hour is not there.
    Drop(Option<Drop>),
    /// Polyethylene and other pipe in one test: the one creeps, the other does not.
    Mixed,
}

/// Why a test does not decide.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doubt {
    /// Readings are missing.
    Readings,
    /// The gauge is too rough for it.
    Gauge,
    /// Whether the pipe was backfilled was not said, and it decides.
    Backfill,
    /// Polyethylene and other pipe were tested together.
    Mixed,
}

/// What a test says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// It holds.
    Passes,
    /// It leaks.
    Leaks,
    /// Too much air is in the pipe: the test says nothing.
    Air,
    /// It does not decide.
    CannotTell(Doubt),
}

/// The pressure test, judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Proof {
    /// How it was judged, with its figures.
    pub method: Method,
    /// What it says.
    pub verdict: Verdict,
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
pub fn proof(line: &Line, asked_pa: Option<f64>) -> Option<Proof> {
    let test = line.pressure_test.as_ref()?;
    let first_pa = test.readings.first()?.1;
    let pe = |m: Material| m == Material::Pe;
    let made = || line.reaches.iter().map(|r| r.pipe.material);
    made().next()?;
    let (method, verdict) = if made().all(pe) {
        let creep = Creep::of(test);
        let verdict = creep.map_or(Verdict::CannotTell(Doubt::Readings), |c| {
            by_backfill(&c, test.backfilled)
        });
        (Method::Creep(creep), verdict)
    } else if made().any(pe) {
        (Method::Mixed, Verdict::CannotTell(Doubt::Mixed))
    } else {
        let drop = Drop::of(test);
        let verdict = drop.map_or(Verdict::CannotTell(Doubt::Readings), |d| {
            if d.between_pa.1 <= MAY_LOSE_PA {
                Verdict::Passes
            } else if d.between_pa.0 > MAY_LOSE_PA {
                Verdict::Leaks
            } else {
                Verdict::CannotTell(Doubt::Gauge)
            }
        });
        (Method::Drop(drop), verdict)
    };
    Some(Proof {
        method,
        verdict,
        first_pa,
        asked_pa,
    })
}

/// Where it was not said how the pipe lay, both must say the same.
fn by_backfill(creep: &Creep, backfilled: Option<bool>) -> Verdict {
    let held = by_slopes(creep, BACKFILLED);
    let free = by_slopes(creep, FREE);
    match backfilled {
        Some(true) => held,
        Some(false) => free,
        None if held == free => held,
        None => Verdict::CannotTell(Doubt::Backfill),
    }
}

/// Air softens the fall at the beginning; a leak makes it steeper towards the end.
fn by_slopes(creep: &Creep, (least, most): (f64, f64)) -> Verdict {
    if creep.first.high < least {
        Verdict::Air
    } else if creep.second.low > most {
        Verdict::Leaks
    } else if creep.first.mean >= least && creep.second.high <= most {
        Verdict::Passes
    } else {
        Verdict::CannotTell(Doubt::Gauge)
    }
}

#[cfg(test)]
mod tests {
    use super::super::Slope;
    use super::*;

    fn exact(first: f64, second: f64) -> Creep {
        let sharp = |mean| Slope {
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
            Verdict::Passes
        );
        assert_eq!(by_backfill(&exact(0.045, 0.08), Some(true)), Verdict::Leaks);
        assert_eq!(by_backfill(&exact(0.02, 0.045), Some(true)), Verdict::Air);
        assert_eq!(
            by_backfill(&exact(0.09, 0.09), Some(false)),
            Verdict::Passes
        );
        assert_eq!(
            by_backfill(&exact(0.09, 0.09), None),
            Verdict::CannotTell(Doubt::Backfill)
        );
        assert_eq!(by_backfill(&exact(0.09, 0.2), None), Verdict::Leaks);
        assert_eq!(by_backfill(&exact(0.01, 0.01), None), Verdict::Air);
    }
}
