//! Used pipe, or pipe that rusts, judged by a share of its rating that nobody gave.

use super::reaches::on_pressure_pipe;
use crate::finding::found::{Found, Severity};
use crate::finding::row::rows;
use crate::study::Study;
use serde::Serialize;

/// Used pipe or pipe of unknown past judged as if it were new.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct UsedPipe {
    /// The pipe's words.
    pub spec: String,
    /// Share of its rating that was counted.
    pub share: f64,
}

rows! { UsedPipe of subject |of| &of.spec;
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
