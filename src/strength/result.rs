use super::Load;
use super::bedded::Bedded;
use super::field::share;
use super::wheel_load::WheelLoad;
use crate::capacity::{LoadKind, ResidualStrength, TooWarm, Weakest, Which};
use crate::pipe::{How, Joint, MayBe, Pipe};

/// What the line's pipe stands, everywhere and in every state.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Strength {
    /// By reach of one pipe, in order from the intake.
    pub reaches: Vec<ReachStrength>,
    /// What the line may take at each station of the grid, the doubt of the head taken off.
    pub limits: PressureLimits,
    /// What the pipe and its joints may take standing under water at each station of the grid, Pa; `None` where no rating is known. Where two pipes meet, the weaker.
    pub allowed_pa: Vec<Option<f64>>,
    /// Largest share in use at each station over all states, at head + 2 sd; `None` where no rating is known.
    pub use_high: Vec<Option<f64>>,
    /// The lightest pipe by zones; the reason where it is not told.
    pub zones: Result<Zones, NoZones>,
    /// Where the pipe would not live through a full vacuum at its factor of safety: it needs a vent, or air from above, to live.
    pub needs_air: Vec<(f64, f64)>,
    /// Movements in which the water parts: what strikes when it joins again is in no figure here.
    pub parting: Vec<Which>,
    /// Where the pressure falls below what the joints keep tight.
    pub suction: Vec<JointSuction>,
    /// Buried reaches under traffic.
    pub wheels: Vec<WheelLoad>,
    /// Buried reaches whose trench was spoken of.
    pub bedded: Vec<Bedded>,
    /// Fittings without a stated rating: by index into the line's fittings. They are not judged.
    pub unrated_fittings: Vec<usize>,
}

/// The state that governs.
#[derive(Debug, Clone, PartialEq)]
pub struct GoverningState {
    /// Which it is.
    pub which: Which,
    /// The wall is hot because the stopped pipe lies in the sun.
    pub in_sun: bool,
    /// The water parts in that state: the pressure may be higher when it joins again, and no figure is given for that.
    pub parts: bool,
}

impl GoverningState {
    /// Its kind.
    pub fn kind(&self) -> LoadKind {
        self.which.kind()
    }

    pub(super) fn of(load: &Load, in_sun: bool) -> Self {
        Self {
            which: load.which.clone(),
            in_sun,
            parts: load.parts,
        }
    }
}

/// Largest share in use and all that belongs to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Governing {
    /// Where, m.
    pub station_m: f64,
    /// In which state.
    pub cause: GoverningState,
    /// Which part.
    pub weakest: Weakest,
    /// Pressure there at the mean, Pa.
    pub pressure_pa: f64,
    /// Pressure there at head + 2 sd, Pa.
    pub pressure_high_pa: f64,
    /// What the part may take in that state, Pa: rating, warmth, age and the surge allowance counted.
    pub allowed_pa: f64,
    /// Share of the rating left by the wall's warmth.
    pub temperature_factor: f64,
    /// Temperature of the wall, C.
    pub wall_c: f64,
    /// Allowance over the rating for that kind of state.
    pub surge_allowance: f64,
    /// How the least certain figure behind the allowance is known.
    pub how: How,
}

impl Governing {
    /// Share in use at the mean head.
    pub fn use_mean(&self) -> f64 {
        share(self.pressure_pa, self.allowed_pa)
    }

    /// Share in use at head + 2 sd.
    pub fn use_high(&self) -> f64 {
        share(self.pressure_high_pa, self.allowed_pa)
    }
}

/// One reach of one pipe.
#[derive(Debug, Clone, PartialEq)]
pub struct ReachStrength {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// Words of the pipe.
    pub spec: String,
    /// No rating is known: what the weakest and the strongest grade that it may be would take; `None` where a rating is known, or nothing can be said.
    pub may_be: Option<(MayTake, MayTake)>,
    /// Not pressure pipe: the reason it is refused. Nothing below is judged then.
    pub refused: Option<String>,
    /// The pipe's rating, Pa; `None` where it is not known: uses are not told then.
    pub rating_pa: Option<f64>,
    /// What governs at head + 2 sd; `None` where nothing can be judged.
    pub governing: Option<Governing>,
    /// What governs among the states that last, at head + 2 sd: everything but surges. It is `governing` itself where no surge is worse.
    pub lasting: Option<Governing>,
    /// Largest share in use at the mean head.
    pub use_mean: Option<f64>,
    /// Largest share in use at head + 2 sd: what is judged.
    pub use_high: Option<f64>,
    /// Largest standing pressure, Pa.
    pub static_pa: f64,
    /// The same at head + 2 sd, Pa.
    pub static_high_pa: f64,
    /// Largest running pressure, Pa, where a running state was given.
    pub working_pa: Option<f64>,
    /// Largest total pressure of a routine surge, Pa.
    pub surge_routine_pa: Option<f64>,
    /// Largest total pressure of a rare surge, Pa.
    pub surge_rare_pa: Option<f64>,
    /// Largest pressure while it fills, Pa: the last water stopped at once at the speed of filling.
    pub filling_pa: Option<f64>,
    /// The pressure test: largest pressure at head + 2 sd over what may be taken. It is set by what the pipe may take, so it stands beside the share in use and not in it.
    pub test: Option<Tested>,
    /// The wall gets hotter than any table of its standard speaks of while it stands under pressure: its temperature and the table's end, C.
    pub too_warm: Option<TooWarm>,
    /// The joint must not stand in a penstock: why.
    pub forbidden_joint: Option<&'static str>,
    /// What is left of the rating by age, rust and the user's derating, 0 to 1, and whether a default stands behind it.
    pub left: ResidualStrength,
    /// Outside pressure that would press it flat in the governing state from outside, Pa, no factor.
    pub collapse_pa: f64,
    /// Largest suction over what the pipe may take (collapse over its factor of safety), at the mean heights.
    pub outside_use: f64,
    /// The same with the pressure two standard deviations lower: what is judged. Between the two the survey cannot tell.
    pub outside_low: Option<OutsideLow>,
    /// Where that is, m, and in which state; `None` where no state pulls.
    pub outside: Option<(f64, GoverningState)>,
    /// Pull there, Pa: how far the pressure lies below the air's.
    pub pull_pa: f64,
    /// The ground was counted on for the collapse.
    pub held_by_ground: bool,
    /// Lightest class of the same size and standard that would do for the whole reach.
    pub lightest: Result<Pipe, NoZones>,
    /// Trade habit beside ours: standing pressure and 40 %, Pa.
    pub habit_pa: f64,
    /// Some figure behind the judgement is from memory or a secondary source.
    pub from_memory: bool,
}

/// A grade that a pipe without a rating may be, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct MayTake {
    /// The grade and the rating it gives.
    pub grade: MayBe,
    /// Largest share in use at head + 2 sd were it of that grade; `None` where nothing presses.
    pub use_high: Option<f64>,
}

/// The largest share in use from outside with the survey's doubt counted.
#[derive(Debug, Clone, PartialEq)]
pub struct OutsideLow {
    /// Pull at two standard deviations over what the pipe may take.
    pub share: f64,
    /// The same place and state at the mean heights.
    pub share_mean: f64,
    /// Where, m.
    pub station_m: f64,
    /// In which state.
    pub cause: GoverningState,
    /// Pull at two standard deviations, Pa.
    pub pull_pa: f64,
    /// Outside pressure that would press it flat in that state, Pa, no factor.
    pub collapse_pa: f64,
}

/// What a pressure test asks of a reach.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tested {
    /// Where it asks most, m.
    pub station_m: f64,
    /// Pressure there at the mean, Pa.
    pub pressure_pa: f64,
    /// Pressure there at head + 2 sd over what the weakest part may take.
    pub use_high: f64,
}

/// The lightest pipe that would do, station to station.
#[derive(Debug, Clone, PartialEq)]
pub struct Zones {
    /// Zones in order, covering the line without gap or overlap.
    pub list: Vec<Zone>,
    /// Margin on the standing pressure at head + 2 sd.
    pub margin: f64,
    /// Mass of the zones' pipe, kg.
    pub mass_kg: f64,
    /// Mass of the pipe as declared, kg.
    pub declared_mass_kg: f64,
}

/// One zone of one class.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// The pipe.
    pub pipe: Pipe,
    /// It is lighter or heavier than what is declared there, not the same.
    pub differs: bool,
    /// Whole pieces it takes (the last may be cut at the line's end).
    pub pieces: usize,
    /// Mass, kg.
    pub mass_kg: f64,
}

/// Why no lightest pipe is told.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum NoZones {
    /// The drop is not known well enough: its sd over the drop.
    DropInDoubt {
        /// Standard deviation of the drop over the drop; 1 where it is as large as the drop or larger.
        share: f64,
    },
    /// No class of that size in the catalogue takes it.
    NoneStrongEnough,
    /// The pipe is not from the catalogue, or not pressure pipe.
    NotInCatalogue,
    /// The stopped pipe gets hotter in the sun than its tables speak of.
    TooWarm,
}

/// A reach where joints are sucked at.
#[derive(Debug, Clone, PartialEq)]
pub struct JointSuction {
    /// From, m.
    pub from_m: f64,
    /// To, m.
    pub to_m: f64,
    /// The joint.
    pub joint: Joint,
    /// Least pressure there, Pa, at the mean heights.
    pub least_pa: f64,
    /// The same two standard deviations lower, Pa (below zero).
    pub least_low_pa: f64,
    /// It is beyond the limit at the mean heights; else only with the survey's doubt counted: that cannot be told.
    pub settled: bool,
    /// Where it is, m.
    pub station_m: f64,
    /// What the joint keeps tight, Pa (below zero).
    pub limit_pa: f64,
    /// In which state.
    pub cause: GoverningState,
    /// The limit is the user's own.
    pub own_limit: bool,
}

/// What the line may take at each station of the grid: plain limits for the rooms that look for a safe time.
#[derive(Debug, Clone, PartialEq)]
pub struct PressureLimits {
    /// Largest pressure in a state that lasts, Pa, head doubt already taken off; infinite where no rating is known.
    pub lasting_pa: Vec<f64>,
    /// Largest total pressure in a routine surge, Pa, head doubt already taken off; infinite where no rating is known.
    pub routine_pa: Vec<f64>,
    /// Largest total pressure in a rare surge, Pa, head doubt already taken off.
    pub rare_pa: Vec<f64>,
    /// Least pressure, Pa (below zero): by collapse at its factor, by the joints, and never below boiling. The doubt of the head is not in it.
    pub least_pa: Vec<f64>,
    /// That doubt: two standard deviations of the head, Pa.
    pub doubt_pa: Vec<f64>,
}
