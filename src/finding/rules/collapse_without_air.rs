//! Pipe that suction presses flat: every state that does it, each where it asks most, for what cures one need not cure another. Of the running states, and of the ways of emptying that no valve makes, the worst alone.

use super::{Found, Severity, rows};
use crate::finding::cause::{PressureCause, at_once, cause};
use crate::line::Fitting;
use crate::strength::{self, GoverningState, LoadKind, ReachStrength, Which};
use crate::study::{Study, loads};

rows! { of subject |of| match &of.cause {
        PressureCause::Surge(movement) => movement,
        _ => of.valve.as_deref().unwrap_or_default(),
    };
    /// A shut-off or drain without air inlet on pipe that would collapse.
    pub struct CollapseWithoutAir {
        /// The valve on the way that is shut, where one is.
        pub valve: Option<String>,
        /// What pulls: the line that empties, a running state, a movement.
        #[serde(flatten)]
        pub cause: PressureCause,
        /// Outside pressure it would stand, Pa, without a factor.
        pub collapse_pa: f64,
        /// Least pressure, Pa (negative).
        pub least_pa: f64,
        /// The movement comes at once by itself: nobody can slow it.
        pub at_once: bool,
    }
    _ => "collapse-without-air", "collapse without air", "collapse", Plant;
}

pub(in crate::finding) fn found(study: &Study) -> Vec<Found<CollapseWithoutAir>> {
    let judged = study.strength.iter().flat_map(|s| &s.reaches);
    judged
        .filter(|s| s.refused.is_none())
        .flat_map(|s| on_reach(study, s))
        .collect()
}

fn on_reach(study: &Study, s: &ReachStrength) -> Vec<Found<CollapseWithoutAir>> {
    if s.outside.is_none() || s.outside_use <= 1.0 {
        return Vec::new();
    }
    let (line, air) = (&study.line, study.air.as_ref());
    let factor = s.outside_use * s.collapse_pa / s.pull_pa;
    let all = loads(line, &study.cases, study.surges.as_ref(), air);
    let mut worst: Vec<(f64, Found<CollapseWithoutAir>)> = Vec::new();
    for load in &all {
        let used = strength::collapse_utilisation(line, load);
        let on = |station_m: f64| (s.from_m..=s.to_m).contains(&station_m);
        let flat: Vec<_> = line
            .geometry
            .heights
            .station_m
            .iter()
            .zip(used)
            .zip(&load.least_pa)
            .filter(|((station_m, used), _)| on(**station_m) && *used > 1.0)
            .map(|((station_m, used), least_pa)| (*station_m, used, -least_pa))
            .collect();
        let most = flat.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1));
        let (Some((_, used, pull_pa)), Some(from), Some(to)) = (most, flat.first(), flat.last())
        else {
            continue;
        };
        let by = GoverningState {
            which: load.which.clone(),
            in_sun: false,
            parts: load.parts,
        };
        let (valve, severity) = gravity(study, &by);
        let what = CollapseWithoutAir {
            valve: valve.map(|f| f.name.clone()),
            cause: cause(&by),
            collapse_pa: factor * pull_pa / used,
            least_pa: -pull_pa,
            at_once: at_once(study, &by),
        };
        // the moduli by time and warmth and the factor of safety are not verified against their documents
        let found = Found::new(severity, what, from.0, to.0).on_memory(true);
        let alike = |(_, had): &&mut (f64, Found<_>)| is_one_harm(&had.what, &found.what);
        match worst.iter_mut().find(alike) {
            Some(had) if used > had.0 => *had = (used, found),
            Some(_) => {}
            None => worst.push((used, found)),
        }
    }
    worst.into_iter().map(|(_, found)| found).collect()
}

/// Two states that press a pipe flat, cured by the same: both running, or both an emptying without a valve.
fn is_one_harm(a: &CollapseWithoutAir, b: &CollapseWithoutAir) -> bool {
    match (&a.cause, &b.cause) {
        (PressureCause::Running(_), PressureCause::Running(_)) => true,
        (PressureCause::Emptied(_), PressureCause::Emptied(_)) => a.valve == b.valve,
        _ => false,
    }
}

/// The valve that is shut in a state, and what comes of suction in that state.
fn gravity<'a>(study: &'a Study, by: &GoverningState) -> (Option<&'a Fitting>, Severity) {
    let valve = match by.which {
        Which::ValveShut { fitting, .. } => study.line.fittings.get(fitting),
        _ => None,
    };
    let severity = match by.kind() {
        LoadKind::SurgeRare => Severity::Fix,
        // Nobody can shut what is not there, but leaves can block a mouth.
        LoadKind::Drained if valve.is_none() => Severity::Fix,
        _ => Severity::Stop,
    };
    (valve, severity)
}
