//! What is asked of a place where air goes in or out.

use super::{Passes, VentWhy};
use crate::pipe::RunState;

/// What is asked of a place.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Asked {
    /// Air out.
    pub(super) out: bool,
    /// Air out with nobody there.
    pub(super) alone: bool,
    /// Air in, by itself.
    pub(super) inward: bool,
}

impl Asked {
    /// What a reason asks for.
    pub(super) fn by(why: VentWhy) -> Self {
        match why {
            VentWhy::BelowHeadValve | VentWhy::BelowValve | VentWhy::Collapse => Self {
                inward: true,
                ..Self::default()
            },
            VentWhy::Start | VentWhy::Priming => Self {
                out: true,
                ..Self::default()
            },
            VentWhy::StartUnattended | VentWhy::Running | VentWhy::LongRun | VentWhy::Doubtful => {
                Self {
                    out: true,
                    alone: true,
                    ..Self::default()
                }
            }
            VentWhy::Stands => Self::default(),
        }
    }

    /// Both together.
    pub(super) fn and(self, other: Self) -> Self {
        Self {
            out: self.out || other.out,
            alone: self.alone || other.alone,
            inward: self.inward || other.inward,
        }
    }
}

/// What each way needs at a place.
pub(super) struct Needs {
    pub(super) out: Passes,
    pub(super) inward: Passes,
    /// States in which an open vent would draw air in.
    pub(super) inhales: Vec<RunState>,
}

impl Needs {
    /// Least bore for all that is asked, m; nothing where nothing is.
    pub(super) fn bore_m(&self, asked: Asked) -> f64 {
        let each = [(asked.out, self.out), (asked.inward, self.inward)];
        each.into_iter()
            .filter(|(asked, _)| *asked)
            .map(|(_, passes)| passes.bore_m)
            .fold(0.0, f64::max)
    }
}

/// What the pipe below a station stands of suction while it empties from there.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Guard {
    /// Vacuum that may be let come, Pa: what the weakest pipe and joint down to the next low may take.
    pub(super) vacuum_pa: f64,
    /// The deepest vacuum that draining can make on the way is more than that there.
    pub(super) needs_air: bool,
}
