//! Wall that the sun heats beyond the table of its standard.

use super::reaches::on_pressure_pipe;
use super::{Found, Severity, Study, rows};

rows! { of subject |of| &of.spec;
    /// The wall gets hotter than any table of its standard speaks of.
    pub struct WallTooWarm {
        /// The pipe's words.
        pub spec: String,
        /// Temperature of the wall, C.
        pub wall_c: f64,
        /// End of the table, C.
        pub limit_c: f64,
    }
    _ => "too-warm", "too warm", "strength", People;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<WallTooWarm>> {
    on_pressure_pipe(study, |s, _| {
        let warm = s.too_warm?;
        let what = WallTooWarm {
            spec: s.spec.clone(),
            wall_c: warm.wall_c,
            limit_c: warm.limit_c,
        };
        Some(Found::new(Severity::Fix, what, s.from_m, s.to_m))
    })
}
