//! Classes laid into a line in thought, and what their own pressures ask of them.

use crate::line::{Line, Reach, Reaches};
use crate::pipe::{Condition, Pipe};
use crate::strength::{ReachStrength, Strength};

/// A class from station to station.
pub(super) type LaidClass = (f64, f64, Pipe);

/// What a zone's own pressures ask of it.
pub(super) enum ZoneDemand {
    /// It stands.
    Stands,
    /// A stronger class; `None`: there is none.
    More(Option<Box<Pipe>>),
}

/// The class that the pressures on the laid line ask of a zone.
pub(super) fn asked_of(zone: &LaidClass, strength: &Strength) -> ZoneDemand {
    let inside = |r: &&ReachStrength| r.from_m >= zone.0 - 1e-6 && r.to_m <= zone.1 + 1e-6;
    let rating = |pipe: &Pipe| pipe.rating_pa.unwrap_or(0.0);
    let mut most = ZoneDemand::Stands;
    for reach in strength.reaches.iter().filter(inside) {
        match &reach.lightest {
            Ok(pipe) if rating(pipe) > rating(&zone.2) => {
                let more = match &most {
                    ZoneDemand::More(Some(had)) => rating(pipe) > rating(had),
                    ZoneDemand::More(None) => false,
                    ZoneDemand::Stands => true,
                };
                if more {
                    most = ZoneDemand::More(Some(Box::new(pipe.clone())));
                }
            }
            Ok(_) => {}
            Err(_) => return ZoneDemand::More(None),
        }
    }
    most
}

/// The line with these classes laid in it; joints, pieces and everything on it stay. Where the class is the declared one the reach stays as it is.
pub(super) fn relaid(line: &Line, laid: &[LaidClass]) -> Line {
    let mut reaches = Vec::new();
    for (from_m, to_m, pipe) in laid {
        for old in &line.reaches {
            let (from_m, to_m) = (from_m.max(old.from_m), to_m.min(old.to_m));
            if to_m - from_m <= 1e-6 {
                continue;
            }
            let here = Reach {
                from_m,
                to_m,
                ..old.clone()
            };
            reaches.push(if old.pipe.id == pipe.id {
                here
            } else {
                Reach {
                    pipe: pipe.clone(),
                    is_laid: false,
                    condition: Condition::New,
                    derate: None,
                    ..here
                }
            });
        }
    }
    Line {
        reaches: Reaches(reaches),
        ..line.clone()
    }
}
