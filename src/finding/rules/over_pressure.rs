//! Pressure over what the pipe, its joints and its fittings may take. A surge is told by its movement; here stand the states that last, each at its own largest, whatever a surge adds to it.

use super::reaches::on_pressure_pipe;
use super::{Found, Severity, Study, rows};
use crate::finding::cause::{PressureCause, cause};
use crate::strength::Weakest;

rows! { of subject |of| &of.spec;
    /// Pressure at the height plus two standard deviations is more than the pipe, joint or fitting may take.
    pub struct OverPressure {
        /// The pipe's words.
        pub spec: String,
        /// What is weakest: "pipe", "joint" or a fitting's name.
        pub weakest: String,
        /// Share of what it may take, at two standard deviations.
        pub use_high: f64,
        /// Largest pressure, Pa.
        pub pressure_pa: f64,
        /// What it may take there, Pa.
        pub allowed_pa: f64,
        /// What makes the pressure.
        #[serde(flatten)]
        pub cause: PressureCause,
    }
    _ => "over-pressure", "over pressure", "strength", People;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<OverPressure>> {
    on_pressure_pipe(study, |s, _| {
        let lasting = s.lasting.as_ref()?;
        let use_high = lasting.use_high();
        if use_high <= 1.0 {
            return None;
        }
        let what = OverPressure {
            spec: s.spec.clone(),
            weakest: part(&lasting.weakest),
            use_high,
            pressure_pa: lasting.pressure_high_pa,
            allowed_pa: lasting.allowed_pa,
            cause: cause(&lasting.cause),
        };
        let found = Found::at(Severity::Stop, what, lasting.station_m);
        Some(found.on_memory(lasting.how.is_unverified()))
    })
}

/// The weakest part in words that are names.
pub fn part(weakest: &Weakest) -> String {
    match weakest {
        Weakest::Pipe => "pipe".to_owned(),
        Weakest::Joint(_) => "joint".to_owned(),
        Weakest::Fitting(name) => name.clone(),
    }
}
