//! Where air gathers though the pipe falls; climbs are told by themselves.

use super::{Found, Severity, Study, rows};
use crate::air::{Pocket, PocketCause, serves};
use crate::pipe::Device;

rows! {
    /// Air gathers though the pipe falls.
    pub struct AirGathers {
        /// Why.
        #[serde(rename = "reason")]
        pub why: PocketCause,
        /// A vent that works by itself would draw air in there while it runs: a cock is all that can stand.
        pub cock_only: bool,
    }
    _ => "air-gathers", "air gathers", "air", Power;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<AirGathers>> {
    let Some(air) = &study.air else {
        return Vec::new();
    };
    // the cock below a shut-off where no vent may stand that works by itself: whether it stands
    let cock_stands = |p: &Pocket| {
        air.vents
            .iter()
            .find(|v| {
                v.device == Device::HandCock
                    && serves(&study.line.geometry, &study.line.reaches, p, v.station_m)
            })
            .filter(|_| p.why == PocketCause::BelowShutOff)
            .map(|v| v.stands.is_some() && v.faults.is_empty())
    };
    air.pockets
        .iter()
        .filter(|p| {
            !matches!(
                p.why,
                PocketCause::Climb | PocketCause::Flat | PocketCause::LongRun
            ) && p.vented_by.is_empty()
                && cock_stands(p) != Some(true)
        })
        .map(|p| {
            let what = AirGathers {
                why: p.why,
                cock_only: cock_stands(p).is_some(),
            };
            Found::new(Severity::Watch, what, p.from_m, p.to_m)
                .certainty(p.certainty)
                .on_memory(p.from_memory)
        })
        .collect()
}
