//! Vents that stand and do not do their work.

use super::{Found, Severity, Study, rows};
use crate::air::VentFault;
use crate::finding::serial::called;
use serde::ser::{Serialize, Serializer};

rows! { of subject |of| match of.fault {
        VentFault::Inhales(_) => "inhales",
        _ => &of.name,
    };
    /// A vent that stands does not do its work.
    pub struct VentFails {
        /// What the user calls it, or its device.
        pub name: String,
        /// What is wrong.
        #[serde(flatten, serialize_with = "wrong")]
        #[cfg_attr(test, schemars(with = "Wrong<'_>"))]
        pub fault: VentFault,
    }
    _ => "vent-fails", "vent fails", "vents", Plant;
}

/// The figure that a fault has.
#[derive(serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(untagged)]
enum FaultFigures<'a> {
    Spills {
        /// Height of the water above the top of the standpipe, m.
        spills_by_m: f64,
        /// Required extension of the standpipe, m.
        raise_by_m: f64,
    },
    Bore {
        /// Required inside diameter, m.
        bore_wanted_m: f64,
    },
    Below {
        /// Height of the vent below the high point, m.
        below_crest_m: f64,
    },
    Inhales {
        #[serde(serialize_with = "called")]
        cases: &'a [crate::pipe::RunState],
    },
    Nothing {},
}

/// A fault, as programs read it.
#[derive(serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Wrong<'a> {
    /// What is wrong with the vent, a fixed word.
    fault: &'static str,
    #[serde(flatten)]
    figures: FaultFigures<'a>,
}

/// The fault by its word, with the figure that it has.
fn wrong<S: Serializer>(fault: &VentFault, to: S) -> Result<S::Ok, S::Error> {
    let figures = match fault {
        VentFault::Spills { over_m, raise_m } => FaultFigures::Spills {
            spills_by_m: *over_m,
            raise_by_m: *raise_m,
        },
        VentFault::BoreUnder(m) => FaultFigures::Bore { bore_wanted_m: *m },
        VentFault::BelowCrest(m) => FaultFigures::Below { below_crest_m: *m },
        VentFault::Inhales(cases) => FaultFigures::Inhales { cases },
        _ => FaultFigures::Nothing {},
    };
    Wrong {
        fault: fault.word(),
        figures,
    }
    .serialize(to)
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<VentFails>> {
    let mut found = Vec::new();
    for vent in study.air.iter().flat_map(|a| &a.vents) {
        let Some(stand) = vent.stands.and_then(|i| study.line.stands.get(i)) else {
            continue;
        };
        let name = if stand.name.is_empty() {
            "The vent"
        } else {
            &stand.name
        };
        found.extend(vent.faults.iter().map(|fault| {
            let severity = match fault {
                VentFault::Stuck
                | VentFault::CockShut
                | VentFault::Spills { .. }
                | VentFault::Inhales(_) => Severity::Fix,
                _ => Severity::Watch,
            };
            let what = VentFails {
                name: name.to_owned(),
                fault: fault.clone(),
            };
            Found::at(severity, what, stand.station_m).on_memory(vent.from_memory)
        }));
    }
    found
}
