//! Runs the rooms in order on one line and holds every result, or the reason why there is none.

mod advised;
mod booked;
mod collapse_vents;
mod drained;
mod falls;
mod gauged;
mod pressed;
mod relaid;
mod run;
mod states;
mod survey;
mod zoned;

pub use booked::read_options;
pub use drained::drained;
pub use falls::{Falls, JudgedReach};
pub use gauged::{GaugedReader, with_gauged};
pub use pressed::{LogReader, WalkedWith};
pub use states::air_legs;
pub(crate) use states::loads;
pub use survey::{
    JudgedSurvey, Reader, on_line, read_route, read_route_from, read_route_with, survey,
};
pub use zoned::{ComparedRun, Zoned};

use crate::air::Air;
use crate::anchor::Anchor;
use crate::flow::{Cases, Gauges, IntakeCheck, Largest, NotRun, ScreenFlow, StreamUse};
use crate::laying::Laying;
use crate::line::Line;
use crate::metal::Corroded;
use crate::profile::Profile;
use crate::proof::Proof;
use crate::regrade::RegradePlan;
use crate::route::Route;
use crate::solids;
use crate::solids::ScreenPasses;
use crate::strength::{NoZones, Strength};
use crate::surge::{NotMarched, Surges};

/// Everything computed on one line, as declared.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Study {
    /// The surveyed route.
    pub route: Route,
    /// The line that physics saw.
    pub line: Line,
    /// Climbs, lows, flats.
    pub profile: Profile,
    /// Running states.
    pub cases: Cases,
    /// What the gauges say; `None` where none was read.
    pub gauges: Option<Gauges>,
    /// What the stream feeds; `None` where nothing was said of it.
    pub stream: Option<StreamUse>,
    /// The most power that this pipe can give, and the jets that reach it; `None` where nothing could flow.
    pub largest: Option<Largest>,
    /// The mouth of the pipe; `None` where nothing flows.
    pub intake: Option<IntakeCheck>,
    /// The screen against the largest flow; `None` where none was declared or nothing flows.
    pub screen: Option<ScreenFlow>,
    /// What passes the screen; `None` where none was declared.
    pub passes: Option<ScreenPasses>,
    /// What the water carries; `None` where nothing was said of it or nothing flows.
    pub grit: Option<solids::Carried>,
    /// The pressure test as it was done; `None` where none was declared.
    pub proof: Option<Proof>,
    /// What attacks metal; `None` where nothing was said of any.
    pub metal: Option<Corroded>,
    /// Air: pockets, the start, vents, drains, order of work.
    pub air: Option<Air>,
    /// Surges.
    pub surges: Option<Surges>,
    /// Pressure over what the pipe may take.
    pub strength: Option<Strength>,
    /// The lightest classes by zones, carried back through flow and surge; `None` where none are told.
    pub zoned: Option<Zoned>,
    /// Thrust, blocks, slopes, heat, floods, supports.
    pub anchor: Option<Anchor>,
    /// Ways to make the line fall; empty where it falls, and on the line as advised.
    pub regrade: Vec<RegradePlan>,
    /// Pieces, joints, what to buy.
    pub laying: Option<Laying>,
    /// The same line once everything that is wanted stands; `None` where nothing is wanted, and inside itself.
    pub as_advised: Option<Box<Self>>,
    /// What was not computed, and why.
    pub not_computed: Vec<NotComputed>,
}

/// Something that was not computed, and why.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct NotComputed {
    /// What, by its key in result.json.
    pub what: &'static str,
    /// Why.
    pub why: Lacks,
}

/// Why something was not computed.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Lacks {
    /// No pipe is given.
    Pipe,
    /// Nothing is given that the water leaves by, so nothing runs and nothing can be shut.
    Turbine,
    /// The line is shorter than a wave can be followed on: less than so much, m.
    Length(f64),
    /// A running state that could not be worked out.
    Case(NotRun),
    /// A movement that could not be followed.
    Movement(NotMarched),
    /// A movement that could not be followed once everything that is wanted stands.
    AsAdvised(NotMarched),
    /// No lightest class can be told.
    Zones(NoZones),
    /// Only the survey was asked for.
    SurveyAlone,
}

crate::text::by_word! {
    Lacks {
        Self::Pipe => "pipe",
        Self::Turbine => "turbine",
        Self::Length(..) => "length",
        Self::Case(..) => "case",
        Self::Movement(..) | Self::AsAdvised(..) => "movement",
        Self::Zones(..) => "zones",
        Self::SurveyAlone => "survey-alone",
    }
}

/// Bore that climbs are judged by where no pipe is given, m: the least that the trade lays as a penstock.
pub const BORE_WITHOUT_PIPE_M: f64 = 0.025;
