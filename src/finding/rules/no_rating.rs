//! Pipe of which no rating is known, so that nothing can be judged.

use super::reaches::on_pressure_pipe;
use super::{Found, Severity, Study, rows};
use crate::strength::MayTake;
use serde::ser::{Serialize, Serializer};

rows! { of subject |of| &of.spec;
    /// No rating is known, so nothing can be judged.
    pub struct NoRating {
        /// The pipe's words.
        pub spec: String,
        /// The weakest and the strongest grade that it may be.
        #[serde(flatten, serialize_with = "grades")]
        #[cfg_attr(test, schemars(with = "Grades<'_>"))]
        pub may_be: Option<(MayTake, MayTake)>,
    }
    _ => "no-rating", "no rating", "pipes", People;
}

/// The two grades, as programs read them.
#[derive(serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Grades<'a> {
    /// Weakest possible grade.
    weakest_grade: Option<&'a str>,
    /// Rated pressure of the weakest possible grade, Pa.
    weakest_rating_pa: Option<f64>,
    /// Utilization with the weakest possible grade.
    weakest_use_high: Option<f64>,
    /// Strongest possible grade.
    strongest_grade: Option<&'a str>,
    /// Rated pressure of the strongest possible grade, Pa.
    strongest_rating_pa: Option<f64>,
    /// Utilization with the strongest possible grade.
    strongest_use_high: Option<f64>,
}

fn grades<S: Serializer>(may_be: &Option<(MayTake, MayTake)>, to: S) -> Result<S::Ok, S::Error> {
    let (weak, strong) = may_be.as_ref().map(|m| (&m.0, &m.1)).unzip();
    Grades {
        weakest_grade: weak.map(|m| m.grade.grade.as_ref()),
        weakest_rating_pa: weak.map(|m| m.grade.rating_pa),
        weakest_use_high: weak.and_then(|m| m.use_high),
        strongest_grade: strong.map(|m| m.grade.grade.as_ref()),
        strongest_rating_pa: strong.map(|m| m.grade.rating_pa),
        strongest_use_high: strong.and_then(|m| m.use_high),
    }
    .serialize(to)
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<NoRating>> {
    on_pressure_pipe(study, |s, _| {
        if s.rating_pa.is_some() {
            return None;
        }
        let what = NoRating {
            spec: s.spec.clone(),
            may_be: s.may_be.clone(),
        };
        let severity = severity(what.may_be.as_ref());
        Some(Found::new(severity, what, s.from_m, s.to_m))
    })
}

/// Nothing to fill where even the strongest grade that it may be does not do, nothing but a marking to look for where the weakest does.
fn severity(may_be: Option<&(MayTake, MayTake)>) -> Severity {
    let over = |of: &MayTake| of.use_high.is_some_and(|u| u > 1.0);
    match may_be {
        Some((_, strong)) if over(strong) => Severity::Stop,
        Some((weak, _)) if !over(weak) => Severity::Watch,
        _ => Severity::Fix,
    }
}
