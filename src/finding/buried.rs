use crate::anchor::{NoFill, WetBy};
use crate::pipe::{Surround, Tamped};
use crate::strength::NoDeflection;

/// What was found of the trench of buried pipe.
#[derive(Debug, Clone, PartialEq)]
pub enum Buried {
    /// Water round it lifts the empty pipe, and the fill does not keep it down.
    Floats {
        /// What water.
        by: WetBy,
        /// Uplift of the empty pipe, N/m.
        lift_n_per_m: f64,
        /// Weight of pipe and fill over the lift.
        safety: f64,
        /// What it should be.
        asked_safety: f64,
        /// Cover that gives it, m; `None`: no cover of this soil does.
        wanted_cover_m: Option<f64>,
        /// Concrete that keeps the pipe down without fill, kg/m in air.
        ballast_kg_per_m: f64,
    },
    /// Whether the fill keeps it down is not known.
    FloatNotJudged {
        /// Why.
        why: NoFill,
        /// Uplift of the empty pipe, N/m.
        lift_n_per_m: f64,
        /// Cover that keeps it down, m; `None`: no cover of this soil does.
        wanted_cover_m: Option<f64>,
    },
    /// Ground and traffic press it further out of round than it may be.
    Deflects {
        /// Share of the diameter, with the spread found in the field.
        share: f64,
        /// What it may be.
        allowed: f64,
        /// What lies against the pipe.
        surround: Surround,
        /// How it is tamped.
        tamped: Tamped,
    },
    /// How far it is pressed out of round is not known.
    DeflectionNotJudged {
        /// Why.
        why: NoDeflection,
    },
    /// Broken rock as dug lies against the pipe.
    StonesAgainst {
        /// Largest stone there may be, m.
        largest_m: f64,
    },
    /// The trench will stand open in the wet, and the empty pipe floats in it.
    FloatsOpen {
        /// Uplift of the empty pipe, N/m.
        lift_n_per_m: f64,
        /// Uplift of the full pipe, N/m, where it floats even full.
        full_lift_n_per_m: Option<f64>,
        /// Concrete that keeps the empty pipe down, kg/m in air.
        ballast_kg_per_m: f64,
    },
}
