//! Used pipe, or pipe that rusts, judged by a share of its rating that nobody gave.

use super::reaches::on_pressure_pipe;
use super::{Found, Severity, Study, rows};

rows! { of subject |of| &of.spec;
    /// Used pipe or pipe of unknown past judged as if it were new.
    pub struct UsedPipe {
        /// The pipe's words.
        pub spec: String,
        /// Share of its rating that was counted.
        pub share: f64,
    }
    _ => "used-pipe", "used pipe", "strength", People;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<UsedPipe>> {
    on_pressure_pipe(study, |s, _| {
        (s.left.assumed && s.rating_pa.is_some()).then(|| {
            let what = UsedPipe {
                spec: s.spec.clone(),
                share: s.left.share,
            };
            Found::new(Severity::Watch, what, s.from_m, s.to_m)
        })
    })
}
