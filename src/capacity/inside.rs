//! What a pipe, its joints and its fittings may take in one state.

use super::{LoadKind, Setting, wall_c};
use crate::line::{Environment, Reach};
use crate::pipe::{
    Condition, How, Joint, Often, hottest_wall_c, joint_limit, rusts, surge_allowance,
    temperature_factor,
};

/// The weakest part at a place.
#[derive(Debug, Clone, PartialEq)]
pub enum Weakest {
    /// The pipe itself.
    Pipe,
    /// Its joints.
    Joint(Joint),
    /// A fitting, by its name.
    Fitting(String),
}

/// A wall hotter than its tables.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TooWarm {
    /// The wall, C.
    pub wall_c: f64,
    /// The table's end, C.
    pub limit_c: f64,
}

/// What is left of a rating.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ResidualStrength {
    /// Share, 0 to 1.
    pub share: f64,
    /// A default of this project stands behind it, not the user's word.
    pub assumed: bool,
    /// Wall taken off for rust, m.
    pub rust_m: f64,
}

/// What a part may take.
#[derive(Debug, Clone, PartialEq)]
pub struct Allowable {
    /// Pressure, Pa.
    pub pa: f64,
    /// The part.
    pub weakest: Weakest,
    /// Share of the rating left by the wall's warmth.
    pub temperature_factor: f64,
    /// Temperature of the wall, C.
    pub wall_c: f64,
    /// Allowance over the rating for the kind of state.
    pub allowance: f64,
    /// How the least certain figure behind it is known.
    pub how: How,
}

/// Wall lost to rust over the years on plain steel, m: the lower end of the 1 to 3 mm in use (common practice, no source).
const RUST_M: f64 = 1e-3;

/// Share of the rating left to a used pipe: scores to a tenth of the wall pass (secondary source), and pressure goes nearly with the wall.
const USED_SHARE: f64 = 0.9;

/// What is left of the rating: the user's derating where it was given, 1 too, else by condition and, for plain steel, by rust.
///
/// A rating goes with the wall, so the share that the user gives of plain steel's is the share of its wall that is left; plastic loses it by scores and age, and its ring stays.
pub fn left(reach: &Reach) -> ResidualStrength {
    if let Some(share) = reach.derate {
        let lost_m = (1.0 - share) * reach.pipe.wall_m;
        return ResidualStrength {
            share,
            assumed: false,
            rust_m: if rusts(&reach.pipe) { lost_m } else { 0.0 },
        };
    }
    if rusts(&reach.pipe) && reach.pipe.is_sized() {
        let share = ((reach.pipe.wall_m - RUST_M) / reach.pipe.wall_m).max(0.0);
        return ResidualStrength {
            share,
            assumed: true,
            rust_m: RUST_M,
        };
    }
    match reach.condition {
        Condition::New => ResidualStrength {
            share: 1.0,
            assumed: false,
            rust_m: 0.0,
        },
        Condition::Used | Condition::Unknown => ResidualStrength {
            share: USED_SHARE,
            assumed: true,
            rust_m: 0.0,
        },
    }
}

/// What the pipe itself may take, Pa; the fault of a wall hotter than its tables; `None` without a rating.
pub fn pipe_may(
    environment: &Environment,
    reach: &Reach,
    setting: Setting,
) -> Option<Result<Allowable, TooWarm>> {
    let rating_pa = reach.pipe.rating_pa?;
    let wall_c = wall_c(environment, &reach.pipe, setting);
    let Some(factor) = temperature_factor(&reach.pipe, wall_c) else {
        return Some(Err(TooWarm {
            wall_c,
            limit_c: hottest_wall_c(&reach.pipe),
        }));
    };
    let allowance = allowance(reach, setting.kind);
    let how = [
        factor.how,
        allowance.1,
        reach.pipe.how_rating,
        reach.pipe.how_dims,
    ]
    .into_iter()
    .max()
    .unwrap_or(How::Memory);
    Some(Ok(Allowable {
        pa: rating_pa * factor.value * left(reach).share * allowance.0,
        weakest: Weakest::Pipe,
        temperature_factor: factor.value,
        wall_c,
        allowance: allowance.0,
        how,
    }))
}

/// The allowance over the rating for a kind of state, and how it is known. Only a surge has one; the user's own stands before the standard's.
fn allowance(reach: &Reach, kind: LoadKind) -> (f64, How) {
    let often = match kind {
        LoadKind::SurgeRoutine => Often::Routine,
        LoadKind::SurgeRare => Often::Rare,
        _ => return (1.0, How::Computed),
    };
    match reach.surge_allowance {
        Some(own) => (own, How::Computed),
        None => {
            let known = surge_allowance(&reach.pipe, often);
            (known.value, known.how)
        }
    }
}

/// What the weaker of pipe and joint may take.
///
/// A joint that follows its pipe has the pipe's allowance for surge; one with a limit of its own has none, and warm plastic weakens it like the pipe.
pub fn may(
    environment: &Environment,
    reach: &Reach,
    setting: Setting,
) -> Option<Result<Allowable, TooWarm>> {
    let pipe = match pipe_may(environment, reach, setting)? {
        Ok(may) => may,
        Err(warm) => return Some(Err(warm)),
    };
    let limit = joint_limit(reach.joint, &reach.pipe);
    let own = reach.joint_rating_pa.or(limit.own_pa);
    if own.is_none() && limit.share <= 0.0 {
        // A joint that must not be made at all has no figure: it is refused by name, and the pipe is judged.
        return Some(Ok(pipe));
    }
    let following = pipe.pa
        * if reach.joint_rating_pa.is_some() {
            1.0
        } else {
            limit.share
        };
    let joint_pa = own.map_or(following, |pa| {
        (pa * pipe.temperature_factor).min(following)
    });
    Some(Ok(if joint_pa < pipe.pa {
        let how = if reach.joint_rating_pa.is_some() {
            pipe.how
        } else {
            pipe.how.max(limit.how)
        };
        Allowable {
            pa: joint_pa,
            weakest: Weakest::Joint(reach.joint),
            how,
            ..pipe
        }
    } else {
        pipe
    }))
}
