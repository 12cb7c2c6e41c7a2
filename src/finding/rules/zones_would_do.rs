//! Classes by zones that would do, where they are other than declared and stand.

use super::{Found, Severity, Study, rows};
use crate::strength::would_need_air;
use serde::Serialize;

rows! {
    /// Classes by zones that would do on pipe that is not bought yet, carried back through flow and surge.
    pub struct ZonesWouldDo {
        /// The zones, down the line.
        pub zones: Vec<ClassZone>,
        /// Mass saved, kg; below zero: they weigh more, because what is declared is too weak.
        pub saved_kg: f64,
        /// A full vacuum would press one of them flat, and not what is declared.
        pub needs_air: bool,
        /// Largest share in use with them, at two standard deviations.
        pub use_high: Option<f64>,
        /// Net head of the state with the largest flow with them, m.
        pub net_head_m: Option<f64>,
        /// The same as declared, m.
        pub net_head_declared_m: Option<f64>,
    }
    _ => "zones-would-do", "zones would do", "strength", Purse;
}

pub(in crate::finding) fn found(study: &Study) -> Option<Found<ZonesWouldDo>> {
    let declared = study.strength.as_ref()?;
    let zoned = study.zoned.as_ref().filter(|z| z.holds)?;
    let open = study.line.reaches.iter().any(|r| !r.is_laid);
    // one class for the whole of each reach is told by itself
    let parted = zoned.list.len() > study.line.reaches.len();
    // classes in which the water would part anew are no bargain
    let parts_anew = zoned.parting.iter().any(|m| !declared.parting.contains(m));
    if !open || !parted || parts_anew || !zoned.list.iter().any(|z| z.differs) {
        return None;
    }
    let most = zoned.cases.iter().max_by(|a, b| {
        a.declared_flow_m3_per_s
            .total_cmp(&b.declared_flow_m3_per_s)
    });
    let zone = |z: &crate::strength::Zone| ClassZone {
        from_m: z.from_m,
        to_m: z.to_m,
        spec: z.pipe.spec.clone(),
    };
    let what = ZonesWouldDo {
        zones: zoned.list.iter().map(zone).collect(),
        saved_kg: zoned.declared_mass_kg - zoned.mass_kg,
        needs_air: zoned
            .list
            .iter()
            .any(|z| would_need_air(&study.line, (z.from_m, z.to_m), &z.pipe)),
        use_high: zoned.use_high,
        net_head_m: most.map(|c| c.net_head_m),
        net_head_declared_m: most.map(|c| c.declared_net_head_m),
    };
    let memory = zoned.list.iter().any(|z| z.pipe.is_unverified());
    Some(Found::along(Severity::Watch, what, study).on_memory(memory))
}

/// A zone of one class.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct ClassZone {
    /// Where it begins, m.
    #[serde(rename = "from_station_m")]
    pub from_m: f64,
    /// Where it ends, m.
    #[serde(rename = "to_station_m")]
    pub to_m: f64,
    /// The pipe's words.
    pub spec: String,
}
