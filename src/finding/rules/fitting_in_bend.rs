//! Fittings in bends.

use crate::finding::found::{Found, Severity};
use crate::finding::row::rows;
use crate::study::Study;
use serde::Serialize;

/// A fitting in a bend that is tighter than a fitting bears.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct FittingInBend {
    /// Its name.
    pub name: String,
}

rows! { FittingInBend of subject |of| &of.name;
    _ => "fitting-in-bend", "fitting in bend", "bends", Plant;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<FittingInBend>> {
    let in_bends = study.laying.iter().flat_map(|l| &l.fittings_in_bends);
    in_bends
        .filter_map(|(fitting, _)| {
            let fitting = study.line.fittings.get(*fitting)?;
            let name = fitting.name.clone();
            let found = Found::at(Severity::Watch, FittingInBend { name }, fitting.station_m);
            Some(found.on_memory(true))
        })
        .collect()
}
