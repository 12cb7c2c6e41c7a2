use super::action::UrgentAction;
use super::alignment::Alignment;
use super::detection_limit::DetectionLimit;
use super::moved::Moved;
use crate::air;
use crate::pipe::RunState;
use crate::profile::{Climb, ClimbVerdict};
use crate::regrade::RegradePlan;

/// Two studies of one pipe held against each other.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Compared {
    /// How the later survey lies on the earlier one.
    pub alignment: Alignment,
    /// What moved, in order from the intake.
    pub moved: Vec<Moved>,
    /// The least movement that these surveys show.
    pub sight: DetectionLimit,
    /// Climbs of both, in order.
    pub climbs: Vec<ClimbChange>,
    /// Whether it starts: before and after; `None` where it was not judged.
    pub start: Option<(air::StartVerdict, air::StartVerdict)>,
    /// Head to spare at the start with the air squeezed, m: before and after.
    pub start_margin_m: Option<(f64, f64)>,
    /// Air that surely stands in pockets no working vent empties, m3: before and after.
    pub pockets_m3: (f64, f64),
    /// Running states that both have.
    pub cases: Vec<CaseChange>,
    /// Places where running pressure falls below the air's, newly or deeper.
    pub sucked: Vec<Sucked>,
    /// Pressure over what the pipe may take, by reach of one pipe.
    pub pressed: Vec<StrengthChange>,
    /// Standing pressure at the lows that are new or deeper.
    pub lows: Vec<NewLow>,
    /// Bends that are sharper than the pipe may take, and were not.
    pub tight: Vec<Tight>,
    /// Vents, anchors, straps, fittings that no longer stand on the line or in the right place.
    pub off_line: Vec<OffLine>,
    /// Crests that climb now and that no vent stands at, whether the storm made them or not, m.
    pub bare_m: Vec<f64>,
    /// What to level before anything is decided: from, to, m.
    pub level_first_m: Vec<(f64, f64)>,
    /// The least work that makes it fall again.
    pub regrade: Vec<RegradePlan>,
    /// What to do tonight, the most pressing first, at most ten.
    pub tonight: Vec<UrgentAction>,
}

crate::text::words! {
    /// What became of a climb.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Climbing {
        /// It was not there.
        New = "new",
        /// It rises more than its doubt allows to be chance.
        Worse = "worse",
        /// It is there as before.
        Same = "as before",
        /// It rises less.
        Better = "better",
        /// It is gone.
        Cured = "gone",
    }
}

/// A climb before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct ClimbChange {
    /// What became of it.
    pub what: Climbing,
    /// As it was.
    pub before: Option<Climb>,
    /// As it is.
    pub after: Option<Climb>,
}

impl ClimbChange {
    /// Whether the pipe is taken to climb there now: this survey says so, or the earlier one did and this one, which cannot tell by itself, still finds it more likely than not.
    pub fn climbs_now(&self) -> bool {
        let certain = |c: &Climb| c.verdict == ClimbVerdict::Climbs;
        let now = self.after.as_ref();
        now.is_some_and(certain)
            || self.before.as_ref().is_some_and(certain)
                && self.what != Climbing::Better
                && now.is_some_and(|c| c.probability > LIKELIER)
    }
}

/// More likely than not.
pub(super) const LIKELIER: f64 = 0.5;

/// A running state before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct CaseChange {
    /// Its name.
    pub state: RunState,
    /// Flow, m3/s.
    pub flow_m3_per_s: (f64, f64),
    /// Power of the water at the nozzles, W.
    pub power_w: (f64, f64),
    /// Standard deviation of the change of power, W.
    pub power_sd_w: f64,
    /// Share of the power that is left with air still standing in the climbs, squeezed; `None` where no air stands.
    pub with_air: Option<(f64, f64)>,
    /// It no longer runs full.
    pub newly_limited: bool,
}

/// A place where the pressure is below the air's.
#[derive(Debug, Clone, PartialEq)]
pub struct Sucked {
    /// The running state.
    pub case: RunState,
    /// Where, m.
    pub station_m: f64,
    /// Gauge pressure before, Pa.
    pub before_pa: f64,
    /// Gauge pressure after, Pa.
    pub after_pa: f64,
}

/// Use of a reach's strength before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct StrengthChange {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// The pipe.
    pub spec: String,
    /// Largest pressure at + 2 sd over what it may take.
    pub use_high: (Option<f64>, Option<f64>),
    /// Lowest outside: full suction or vacuum over the collapse pressure.
    pub outside_use: (f64, f64),
}

/// A low that was not there, or where the pipe lies lower than before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NewLow {
    /// Where, m.
    pub station_m: f64,
    /// Standing pressure there before and after, Pa.
    pub standing_pa: (f64, f64),
    /// What the pipe and its joints may take there, Pa; `None` where no rating is known.
    pub allowed_pa: Option<f64>,
    /// Largest share in use there now, over all states, at head + 2 sd.
    pub use_high: Option<f64>,
}

/// A bend that is too sharp.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tight {
    /// Where, m.
    pub station_m: f64,
    /// Angle in space, rad.
    pub angle_rad: f64,
    /// Least radius that the pipe may be bent to, m; `None`: not at all.
    pub least_radius_m: Option<f64>,
    /// The survey does not tell for certain.
    pub cannot_tell: bool,
}

/// What stands on a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Equipment {
    /// Index into the later line's `stands`.
    Mark(usize),
    /// Index into its `fittings`.
    Fitting(usize),
}

/// Something that no longer stands where it should.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OffLine {
    /// The pipe beside it moved.
    PipeMoved {
        /// What.
        what: Equipment,
        /// Where, m.
        station_m: f64,
        /// How far the pipe moved there, m.
        by_m: f64,
        /// It surely moved; else it may have.
        is_sure: bool,
    },
    /// A vent that stood at a crest, which is elsewhere now.
    NotAtCrest {
        /// What.
        what: Equipment,
        /// Where it stands, m.
        station_m: f64,
        /// Where the crest is, m.
        crest_m: f64,
    },
    /// A crest that nothing vents.
    Unvented {
        /// Where the crest is, m.
        crest_m: f64,
    },
}
