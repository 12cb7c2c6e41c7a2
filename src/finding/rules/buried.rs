//! The trenches of buried pipe: what floats in them, and how it lies there.

use super::{Found, Severity, Study, rows};
use crate::anchor::{Afloat, COVER_SAFETY};
use crate::anchor::{NoFill, WetBy};
use crate::finding::serial::sentence;
use crate::pipe::{Surround, Tamped};
use crate::strength::{Bedded, NoDeflection};

rows! {
    /// What was found of the trench of buried pipe.
    #[serde(untagged)]
    pub enum Buried {
        /// Water round it lifts the empty pipe, and the fill does not keep it down.
        Floats {
            /// What water.
            #[serde(rename = "wet_by")]
            by: WetBy,
            /// Uplift of the empty pipe, N/m.
            lift_n_per_m: f64,
            /// Weight of pipe and fill over the lift.
            #[serde(rename = "float_safety")]
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
            #[serde(rename = "reason", serialize_with = "sentence")]
            #[cfg_attr(test, schemars(with = "String"))]
            why: NoFill,
            /// Uplift of the empty pipe, N/m.
            lift_n_per_m: f64,
            /// Cover that keeps it down, m; `None`: no cover of this soil does.
            wanted_cover_m: Option<f64>,
        },
        /// Ground and traffic press it further out of round than it may be.
        Deflects {
            /// Share of the diameter, with the spread found in the field.
            #[serde(rename = "deflection_share")]
            share: f64,
            /// What it may be.
            #[serde(rename = "allowed_share")]
            allowed: f64,
            /// What lies against the pipe.
            surround: Surround,
            /// How it is tamped.
            tamped: Tamped,
        },
        /// How far it is pressed out of round is not known.
        DeflectionNotJudged {
            /// Why.
            #[serde(rename = "reason", serialize_with = "sentence")]
            #[cfg_attr(test, schemars(with = "String"))]
            why: NoDeflection,
        },
        /// Broken rock as dug lies against the pipe.
        StonesAgainst {
            /// Largest stone there may be, m.
            #[serde(rename = "largest_stone_m")]
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
    Buried::Floats { .. } => "floats", "floats", "buoyancy", Plant;
    Buried::FloatNotJudged { .. } => "float-not-judged", "float not judged", "buoyancy", Plant;
    Buried::Deflects { .. } => "deflects", "deflects", "bedding", Plant;
    Buried::StonesAgainst { .. } => "stones-against-pipe", "stones against pipe", "bedding", Plant;
    Buried::DeflectionNotJudged { .. } => "deflection-not-judged", "deflection not judged", "bedding", Plant;
    Buried::FloatsOpen { .. } => "floats-in-open-trench", "floats in open trench", "buoyancy", Plant;
}

/// The trenches of buried pipe: what floats in them.
pub(in crate::finding) fn found(study: &Study) -> Vec<Found<Buried>> {
    study
        .anchor
        .iter()
        .flat_map(|a| &a.afloat)
        .flat_map(afloat)
        .chain(
            study
                .strength
                .iter()
                .flat_map(|s| &s.bedded)
                .flat_map(bedded),
        )
        .collect()
}

/// How the pipe lies in its trench.
fn bedded(b: &Bedded) -> Vec<Found<Buried>> {
    let oval = match &b.deflects {
        Ok(d) if b.too_oval() => Some((
            Severity::Fix,
            Buried::Deflects {
                share: d.share_high,
                allowed: d.allowed,
                surround: b.surround,
                tamped: b.tamped,
            },
        )),
        // of a trench of which nothing was said nothing is asked
        Ok(_) | Err(NoDeflection::NothingSaid) => None,
        Err(why) => Some((Severity::Watch, Buried::DeflectionNotJudged { why: *why })),
    };
    let stones = b.stones.then_some((
        Severity::Fix,
        Buried::StonesAgainst {
            largest_m: b.size.stone_m,
        },
    ));
    oval.into_iter()
        .chain(stones)
        .map(|(severity, what)| Found::new(severity, what, b.from_m, b.to_m).on_memory(true))
        .collect()
}

/// The filled trench, and beside it the open one where the pipe is still to be laid.
fn afloat(a: &Afloat) -> Vec<Found<Buried>> {
    let lift_n_per_m = a.lift_empty_n_per_m;
    let filled = match a.fill {
        Ok(fill) if a.floats() => Some((
            Severity::Fix,
            Buried::Floats {
                by: a.by,
                lift_n_per_m,
                safety: fill.safety,
                asked_safety: COVER_SAFETY,
                wanted_cover_m: a.wanted_cover_m,
                ballast_kg_per_m: a.ballast_kg_per_m,
            },
        )),
        Ok(_) => None,
        Err(why) => Some((
            Severity::Watch,
            Buried::FloatNotJudged {
                why,
                lift_n_per_m,
                wanted_cover_m: a.wanted_cover_m,
            },
        )),
    };
    let open = a.to_lay.then_some((
        Severity::Watch,
        Buried::FloatsOpen {
            lift_n_per_m,
            full_lift_n_per_m: Some(a.lift_full_n_per_m).filter(|n| *n > 0.0),
            ballast_kg_per_m: a.ballast_kg_per_m,
        },
    ));
    filled
        .into_iter()
        .chain(open)
        .map(|(severity, what)| Found::new(severity, what, a.from_m, a.to_m).on_memory(true))
        .collect()
}
