//! What makes a pressure.

use crate::line::Mover;
use crate::strength::{GoverningState, Which};
use crate::study::Study;
use crate::surge::{Surge, Timing};
use serde::Serialize;

/// What makes the largest or least pressure at a place.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase", tag = "cause", content = "cause_name")]
pub enum PressureCause {
    /// Standing water.
    Standing,
    /// Standing water in a pipe that the sun has heated.
    #[serde(rename = "standing in the sun")]
    StandingInSun,
    /// A running case, by its name.
    Running(String),
    /// A movement, by its name.
    Surge(String),
    /// The pressure test.
    Test,
    /// Filling, the last water stopped at once.
    Filling,
    /// Emptied, in the way named: a valve shut above, the intake blocked, or run dry.
    Emptied(String),
}

/// What makes a pressure.
pub fn cause(cause: &GoverningState) -> PressureCause {
    match &cause.which {
        Which::Standing if cause.in_sun => PressureCause::StandingInSun,
        Which::Standing => PressureCause::Standing,
        Which::Running(state) => PressureCause::Running(state.to_string()),
        Which::Movement { name, .. } => PressureCause::Surge(name.clone()),
        Which::Filling => PressureCause::Filling,
        Which::Test => PressureCause::Test,
        emptied @ (Which::ValveShut { .. } | Which::IntakeBlocked | Which::Drained) => {
            PressureCause::Emptied(emptied.to_string())
        }
    }
}

/// The movement behind a pull comes at once by itself.
pub(super) fn at_once(study: &Study, cause: &GoverningState) -> bool {
    let Which::Movement { run, .. } = cause.which else {
        return false;
    };
    let marched = study.surges.as_ref().and_then(|s| s.runs.get(run));
    marched.is_some_and(comes_at_once)
}

/// A blocked jet, unless the user gave it a time: nobody moves it.
pub(super) fn comes_at_once(surge: &Surge) -> bool {
    surge.of == Mover::OneJet && surge.timing == Timing::AtOnce
}
