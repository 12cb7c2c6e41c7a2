//! Pipe that may be pressed flat: by the mean heights it is not, two standard deviations lower it is.

use super::{Found, Severity, Study, rows};
use crate::finding::cause::{PressureCause, cause};

rows! {
    /// The survey cannot tell whether suction presses the pipe flat: by the mean heights it does not, two standard deviations lower it would.
    pub struct CollapseNotSettled {
        /// The pipe's words.
        pub spec: String,
        /// What pulls.
        #[serde(flatten)]
        pub cause: PressureCause,
        /// Least pressure at two standard deviations, Pa (negative).
        pub least_low_pa: f64,
        /// Share of what it may take at the mean.
        pub use_mean: f64,
        /// The same at two standard deviations.
        pub use_low: f64,
    }
    _ => "collapse-not-settled", "collapse not settled", "collapse", Plant;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<CollapseNotSettled>> {
    let judged = study.strength.iter().flat_map(|s| &s.reaches);
    judged
        .filter_map(|s| {
            let low = s
                .outside_low
                .as_ref()
                .filter(|low| low.share > 1.0 && s.outside_use <= 1.0)?;
            let what = CollapseNotSettled {
                spec: s.spec.clone(),
                cause: cause(&low.cause),
                least_low_pa: -low.pull_pa,
                use_mean: low.share_mean,
                use_low: low.share,
            };
            // as where it is certain: the moduli and the factor of safety are not verified against their documents
            Some(Found::at(Severity::Fix, what, low.station_m).on_memory(true))
        })
        .collect()
}
