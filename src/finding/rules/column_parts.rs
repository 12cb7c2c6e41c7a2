//! Movements in which the water parts.

use super::{Found, Severity, Study, rows};
use crate::finding::cause::comes_at_once;
use crate::line::Mover;
use crate::pipe::Law;

rows! { of subject |of| &of.movement;
    /// The water column parts in a movement.
    pub struct ColumnParts {
        /// The movement.
        pub movement: String,
        /// It shuts a valve on the way: the line below runs on through its jets and empties.
        pub on_the_way: bool,
        /// When, s.
        pub at_s: f64,
        /// Shortest safe time, s.
        pub safe_s: Option<f64>,
        /// What must go evenly in that time.
        pub law: Law,
        /// It comes at once by itself, as a stone in a jet does: nobody can slow it.
        pub at_once: bool,
    }
    _ => "column-parts", "column parts", "surge", People;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<ColumnParts>> {
    let marched = study.surges.iter().flat_map(|s| s.weighed());
    marched
        .filter_map(|surge| {
            let vapour = surge.vapour?;
            let on_the_way = match surge.of {
                Mover::Fitting(i) => study
                    .line
                    .fittings
                    .get(i)
                    .is_some_and(|f| !study.line.geometry.at_the_turbine(f.station_m)),
                Mover::Jets | Mover::OneJet => false,
            };
            let what = ColumnParts {
                movement: surge.movement.clone(),
                on_the_way: on_the_way && surge.to < surge.from,
                at_s: vapour.at_s,
                safe_s: surge.shortest_safe_s,
                law: surge.law,
                at_once: comes_at_once(surge),
            };
            Some(Found::new(Severity::Fix, what, vapour.from_m, vapour.to_m))
        })
        .collect()
}
