//! The start of the drained line, with somebody there and with nobody, where it is not sure.

use super::reaches::setups;
use super::{Found, Severity, Study, rows};
use crate::air::{Decider, Start, StartVerdict};
use serde::ser::{Serialize, Serializer};

rows! {
    /// The start of the drained line, where it is not sure.
    pub struct Starting {
        /// What is said of it: it locks, it may start, or the survey cannot tell.
        #[serde(skip)]
        pub verdict: StartVerdict,
        /// Head to spare on the mean line with every falling leg full of air, m; below zero it is lacking.
        #[serde(rename = "margin_worst_m")]
        pub margin_m: f64,
        /// The same with the air squeezed, m.
        pub margin_compressed_m: f64,
        /// Share of the equally likely lines that start with every falling leg full of air.
        pub probability_starts: f64,
        /// Share that starts with the air squeezed.
        pub probability_compressed: f64,
        /// Crests to vent, m.
        pub vents_m: Vec<f64>,
        /// These vents reach what is asked for.
        pub vents_enough: bool,
        /// Reaches to level, from and to, m.
        #[serde(rename = "level", serialize_with = "reaches")]
        #[cfg_attr(test, schemars(with = "Vec<ToLevel>"))]
        pub level_m: Vec<(f64, f64)>,
        /// Set-ups of a level that this takes.
        pub setups: usize,
        /// Only with nobody there to open hand cocks.
        pub unattended_only: bool,
    }
    Starting { verdict: StartVerdict::Locks, .. } => "air-lock", "air lock", "start-up", Power;
    Starting { verdict: StartVerdict::MayStart, .. } => "may-start", "may start", "start-up", Power;
    Starting { .. } => "start-not-settled", "start not settled", "start-up", Power;
}

impl Starting {
    /// By the mean heights it starts with every leg full of air: only their doubt speaks against it.
    pub fn in_doubt_only(&self) -> bool {
        self.margin_m > 0.0
    }
}

/// A reach to level, as programs read it.
#[derive(serde::Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct ToLevel {
    from_station_m: f64,
    to_station_m: f64,
}

fn reaches<S: Serializer>(level_m: &[(f64, f64)], to: S) -> Result<S::Ok, S::Error> {
    let reach = |&(from_station_m, to_station_m): &(f64, f64)| ToLevel {
        from_station_m,
        to_station_m,
    };
    level_m.iter().map(reach).collect::<Vec<_>>().serialize(to)
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<Starting>> {
    let Some(air) = &study.air else {
        return Vec::new();
    };
    // A siphon that does not hold is told by itself: nothing starts before it is put right.
    if air.siphon.is_some_and(|s| !s.holds()) {
        return Vec::new();
    }
    let attended = not_sure(
        study,
        &air.start,
        (&air.cure.stations_m, air.cure.starts),
        false,
    );
    // With nobody there it can only be worse: told apart only where it is.
    // A siphon never starts by itself: that is told with the siphon.
    let worse = air.unattended.verdict == StartVerdict::Locks
        && air.start.verdict != StartVerdict::Locks
        && air.siphon.is_none();
    let alone = worse.then(|| {
        not_sure(
            study,
            &air.unattended,
            (&air.cure.unattended_m, air.cure.starts_unattended),
            true,
        )
    });
    attended.into_iter().chain(alone.flatten()).collect()
}

fn not_sure(
    study: &Study,
    start: &Start,
    (vents_m, vents_enough): (&[f64], bool),
    unattended_only: bool,
) -> Option<Found<Starting>> {
    let (severity, certainty) = match start.verdict {
        StartVerdict::Starts => return None,
        StartVerdict::Locks => (Severity::Fix, 1.0 - start.probability_compressed),
        StartVerdict::MayStart => (Severity::Watch, 1.0 - start.probability_starts),
        StartVerdict::CannotTell => (Severity::Fix, 1.0 - start.probability_starts),
    };
    let (from, to) = decided_on(&start.decided_by, study.line.geometry.length_m());
    let level_m = start.to_level_m(&study.profile.climbs);
    let what = Starting {
        verdict: start.verdict,
        margin_m: start.margin_worst_m,
        margin_compressed_m: start.margin_compressed_m,
        probability_starts: start.probability_starts,
        probability_compressed: start.probability_compressed,
        vents_m: vents_m.to_vec(),
        vents_enough,
        setups: level_m.iter().map(|(a, b)| setups(*a, *b)).sum(),
        level_m,
        unattended_only,
    };
    Some(Found::new(severity, what, from, to).certainty(certainty))
}

/// The reach from the first place that decides to the last; the whole line where none does.
fn decided_on(deciders: &[Decider], length_m: f64) -> (f64, f64) {
    let first = deciders.iter().map(|d| d.from_m).min_by(f64::total_cmp);
    let last = deciders.iter().map(|d| d.to_m).max_by(f64::total_cmp);
    (first.unwrap_or(0.0), last.unwrap_or(length_m))
}
