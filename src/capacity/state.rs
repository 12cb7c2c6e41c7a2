//! The state a pipe is judged in: how warm its wall, how long the load lasts.

use crate::line::Environment;
use crate::pipe::{FIFTY_YEARS_H, Often, Pipe, RunState, sun_wall_c};
use std::fmt;

/// What kind of state a pressure belongs to: it decides the warmth, the allowance and how long a suction lasts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LoadKind {
    /// Water stands: everything shut.
    Standing,
    /// Water runs.
    Running,
    /// The line fills, air leaving.
    Filling,
    /// The line is tested.
    Test,
    /// A surge that is part of ordinary running.
    SurgeRoutine,
    /// A surge by accident.
    SurgeRare,
    /// The line empties, or stands empty under suction.
    Drained,
}

impl LoadKind {
    /// How long its least pressure lasts, h: fifty years standing or running, a day drained, the quickest figure of the tables for a surge.
    pub fn hours(self) -> f64 {
        match self {
            Self::Standing | Self::Running => FIFTY_YEARS_H,
            Self::Drained => 24.0,
            Self::Filling | Self::Test => 2.0,
            Self::SurgeRoutine | Self::SurgeRare => 0.5,
        }
    }

    /// The pipe can stand hot in the sun meanwhile: no cold water runs through it.
    pub fn stands_still(self) -> bool {
        matches!(self, Self::Standing | Self::Drained)
    }

    /// A surge.
    pub fn is_surge(self) -> bool {
        matches!(self, Self::SurgeRoutine | Self::SurgeRare)
    }
}

/// Which state makes a pressure: its identity. How it is called is how it is shown: the user may give a case and a movement any name.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Which {
    /// Water stands, everything shut.
    Standing,
    /// Water runs.
    Running(RunState),
    /// Something moves.
    Movement {
        /// Its place among those that were marched.
        run: usize,
        /// How often.
        often: Often,
        /// What it is called.
        name: String,
    },
    /// The line fills.
    Filling,
    /// The pressure test.
    Test,
    /// The line below a valve empties.
    ValveShut {
        /// The valve's place among the line's fittings.
        fitting: usize,
        /// What it is called.
        name: String,
    },
    /// The line empties below its mouth, which nothing comes in by.
    IntakeBlocked,
    /// The line empties, its mouth open to the air.
    Drained,
}

impl Which {
    /// What kind of state it is.
    pub fn kind(&self) -> LoadKind {
        match self {
            Self::Standing => LoadKind::Standing,
            Self::Running(_) => LoadKind::Running,
            Self::Movement { often, .. } => match often {
                Often::Routine => LoadKind::SurgeRoutine,
                Often::Rare => LoadKind::SurgeRare,
            },
            Self::Filling => LoadKind::Filling,
            Self::Test => LoadKind::Test,
            Self::ValveShut { .. } | Self::IntakeBlocked | Self::Drained => LoadKind::Drained,
        }
    }
}

impl fmt::Display for Which {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Standing => RunState::Shut.fmt(f),
            Self::Running(state) => state.fmt(f),
            Self::Movement { name, .. } => f.write_str(name),
            Self::Filling => f.write_str("filling"),
            Self::Test => f.write_str("pressure test"),
            Self::ValveShut { name, .. } => write!(f, "{name} shut"),
            Self::IntakeBlocked => f.write_str("intake blocked"),
            Self::Drained => f.write_str("drained"),
        }
    }
}

/// The state a pipe is judged in, as far as its strength is concerned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// Kind of state.
    pub kind: LoadKind,
    /// The wall is as hot as the sun makes it.
    pub in_sun: bool,
}

/// A day empty under suction: what a pipe must live through where nothing lets air in.
pub const EMPTY: Setting = Setting {
    kind: LoadKind::Drained,
    in_sun: false,
};

/// The same at a station: hot where the pipe lies open to the sun.
pub fn emptied(environment: &Environment, station_m: f64) -> Setting {
    Setting {
        in_sun: environment.situation.sun && environment.lies_open(station_m),
        ..EMPTY
    }
}

/// Temperature of the wall, C, in a setting: the warmest water, or the sun on a pipe that stands.
pub fn wall_c(environment: &Environment, pipe: &Pipe, setting: Setting) -> f64 {
    let water = environment.water.warmest_c;
    if setting.in_sun {
        sun_wall_c(pipe, environment.situation.hottest_air_c)
            .value
            .max(water)
    } else {
        water
    }
}
