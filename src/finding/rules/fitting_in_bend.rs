//! Fittings in bends.

use super::{Found, Severity, Study, rows};

rows! { of subject |of| &of.name;
    /// A fitting in a bend that is tighter than a fitting bears.
    pub struct FittingInBend {
        /// Its name.
        pub name: String,
    }
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
