//! Pressure near what the pipe may take, on a drop that is known too roughly.

use super::reaches::on_pressure_pipe;
use super::{Found, Severity, Study, rows};

rows! {
    /// The survey cannot tell whether the pressure is within what the pipe may take.
    pub struct PressureNotSettled {
        /// The pipe's words.
        pub spec: String,
        /// Use at the mean.
        pub use_mean: f64,
        /// Use at two standard deviations.
        pub use_high: f64,
    }
    _ => "pressure-not-settled", "pressure not settled", "strength", People;
}

/// Share of the drop that its doubt may be before pressures near the limit are called not settled.
const ROUGH_DROP: f64 = 0.10;

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<PressureNotSettled>> {
    let line = &study.line;
    let drop = line.geometry.drop_m().abs().max(1e-9);
    let rough = line.geometry.heights.drop_sd_m / drop > ROUGH_DROP;
    on_pressure_pipe(study, |s, _| {
        let lasting = s.lasting.as_ref()?;
        let use_high = lasting.use_high();
        if !rough || use_high <= 0.5 || use_high > 1.0 {
            return None;
        }
        let what = PressureNotSettled {
            spec: s.spec.clone(),
            use_mean: lasting.use_mean(),
            use_high,
        };
        Some(Found::at(Severity::Fix, what, lasting.station_m))
    })
}
