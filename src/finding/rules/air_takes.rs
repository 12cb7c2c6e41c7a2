//! What the pockets of the start take from the state with the largest flow while they are left in.

use super::{Found, Severity, Study, rows};
use crate::air::StartVerdict;
use crate::pipe::RunState;

rows! {
    /// Running with the pockets of the start left in.
    pub struct AirTakes {
        /// The case.
        pub case: RunState,
        /// Head that the pockets take squeezed, m.
        pub head_compressed_m: f64,
        /// Head that they take with full legs, m.
        pub head_full_m: f64,
        /// Standard deviation of the net head without them, m: the head they take is no surer.
        pub head_sd_m: f64,
        /// Flow without them, m3/s.
        pub flow_m3_per_s: f64,
        /// Standard deviation of that flow, m3/s: those with them are no surer.
        pub flow_sd_m3_per_s: f64,
        /// Flow with them squeezed, m3/s; `None`: it does not run.
        pub flow_compressed_m3_per_s: Option<f64>,
        /// Flow with full legs, m3/s; `None`: it does not run.
        pub flow_full_m3_per_s: Option<f64>,
        /// Share of the power that is left with them squeezed.
        pub power_share_compressed: f64,
        /// Share of the power that is left with full legs.
        pub power_share_full: f64,
    }
    _ => "air-takes", "air takes", "start-up", Power;
}

pub(in crate::finding) fn found(study: &Study) -> Option<Found<AirTakes>> {
    let air = study.air.as_ref()?;
    // what does not start is told by itself
    if air.start.verdict == StartVerdict::Locks {
        return None;
    }
    let (left, run) = air
        .left_in
        .iter()
        .filter_map(|left| Some((left, study.cases.of(&left.case)?)))
        .max_by(|a, b| a.1.flow_m3_per_s.total_cmp(&b.1.flow_m3_per_s))?;
    let eats = air
        .start
        .crests
        .iter()
        .filter(|c| !c.vented && c.sealed_m > 0.0);
    let (from, to) = eats.fold((f64::INFINITY, 0.0_f64), |(from, to), c| {
        (from.min(c.station_m), to.max(c.next_low_station_m))
    });
    let what = AirTakes {
        case: left.case.clone(),
        head_compressed_m: left.head_compressed_m,
        head_full_m: left.head_full_m,
        head_sd_m: run.net_head_sd_m,
        flow_m3_per_s: run.flow_m3_per_s,
        flow_sd_m3_per_s: run.flow_sd_m3_per_s,
        flow_compressed_m3_per_s: left.flow_compressed_m3_per_s,
        flow_full_m3_per_s: left.flow_full_m3_per_s,
        power_share_compressed: left.power_share_compressed,
        power_share_full: left.power_share_full,
    };
    Some(Found::new(Severity::Watch, what, from, to))
}
