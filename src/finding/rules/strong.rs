use super::lighter::lighter;
use crate::finding::{Finding, Kind, PressureCause, Severity};
use crate::line::{Fitting, Line, Mover};
use crate::pipe::Often;
use crate::strength::{self, LoadKind, MayTake, ReachStrength, Strength, Weakest, Which};
use crate::study::{Study, loads};
use crate::surge::{Surge, Timing};

/// Share of the drop that its doubt may be before pressures near the limit are called not settled.
const ROUGH_DROP: f64 = 0.10;

/// Pressure over what the pipe, its joints and fittings may take; collapse; suction; what is not verified.
pub fn strength(study: &Study) -> Vec<Finding> {
    let Some(strength) = &study.strength else {
        return Vec::new();
    };
    let mut found: Vec<Finding> = strength
        .reaches
        .iter()
        .zip(&study.line.reaches)
        .flat_map(|(s, r)| reach(study, s, r))
        .collect();
    found.extend(lighter(study, strength));
    found.extend(suction(study, strength));
    found.extend(strength.wheels.iter().filter_map(wheel));
    found.extend(
        strength
            .needs_air
            .iter()
            .map(|at| lives_by_vents(study, *at)),
    );
    found
}

/// How grave it is that no rating is known: nothing to fill where even the strongest grade that it may be does not do, nothing but a marking to look for where the weakest does.
fn no_rating(may_be: Option<&(MayTake, MayTake)>) -> Severity {
    let over = |of: &MayTake| of.use_high.is_some_and(|u| u > 1.0);
    match may_be {
        Some((_, strong)) if over(strong) => Severity::Stop,
        Some((weak, _)) if !over(weak) => Severity::Watch,
        _ => Severity::Fix,
    }
}

fn reach(study: &Study, s: &ReachStrength, declared: &crate::line::Reach) -> Vec<Finding> {
    let line = &study.line;
    let over = |severity, kind| Finding::new(severity, kind, s.from_m, s.to_m);
    let mut found = Vec::new();
    if let Some(reason) = &s.refused {
        found.push(over(
            Severity::Stop,
            Kind::NotPressurePipe {
                spec: s.spec.clone(),
                reason: reason.clone(),
            },
        ));
        return found;
    }
    if s.rating_pa.is_none() {
        found.push(over(
            no_rating(s.may_be.as_ref()),
            Kind::NoRating {
                spec: s.spec.clone(),
                may_be: s.may_be.clone(),
            },
        ));
    }
    if s.forbidden_joint.is_some() {
        found.push(over(
            Severity::Stop,
            Kind::ForbiddenJoint {
                joint: declared.joint,
            },
        ));
    }
    found.extend(pressure(line, s));
    found.extend(collapse(study, s));
    if let Some(warm) = s.too_warm {
        found.push(over(
            Severity::Fix,
            Kind::TooWarm {
                spec: s.spec.clone(),
                wall_c: warm.wall_c,
                limit_c: warm.limit_c,
            },
        ));
    }
    if declared.pipe.is_unverified() && declared.pipe.refused.is_none() {
        found.push(
            over(
                Severity::Watch,
                Kind::CheckMarking {
                    spec: s.spec.clone(),
                },
            )
            .from_memory(true),
        );
    }
    if s.left.assumed && s.rating_pa.is_some() {
        found.push(over(
            Severity::Watch,
            Kind::UsedPipe {
                spec: s.spec.clone(),
                share: s.left.share,
            },
        ));
    }
    found
}

/// A surge is told by its movement elsewhere; here stand the states that last, each at its own largest, whatever a surge adds to it.
fn pressure(line: &Line, s: &ReachStrength) -> Option<Finding> {
    let lasting = s.lasting.as_ref()?;
    let use_high = lasting.use_high();
    let at = lasting.station_m;
    let drop = line.drop_m().abs().max(1e-9);
    if use_high > 1.0 {
        let kind = Kind::OverPressure {
            spec: s.spec.clone(),
            weakest: part(&lasting.weakest),
            use_high,
            pressure_pa: lasting.pressure_high_pa,
            allowed_pa: lasting.allowed_pa,
            cause: cause(&lasting.cause),
        };
        let finding = Finding::new(Severity::Stop, kind, at, at);
        return Some(finding.from_memory(lasting.how.is_unverified()));
    }
    let rough = line.heights.drop_sd_m / drop > ROUGH_DROP && use_high > 0.5;
    rough.then(|| {
        let kind = Kind::PressureNotSettled {
            use_mean: lasting.use_mean(),
            use_high,
            spec: s.spec.clone(),
        };
        Finding::new(Severity::Fix, kind, at, at)
    })
}

/// Pipe that suction presses flat: every state that does it, each where it asks most, for what cures one need not cure another. Of the running states, and of the ways of emptying that no valve makes, the worst alone.
fn collapse(study: &Study, s: &ReachStrength) -> Vec<Finding> {
    if s.outside.is_none() || s.outside_use <= 1.0 {
        return Vec::new();
    }
    let (line, air) = (&study.line, study.air.as_ref());
    let factor = s.outside_use * s.collapse_pa / s.pull_pa;
    let all = loads(line, &study.cases, study.surges.as_ref(), air);
    let mut worst: Vec<(f64, Finding)> = Vec::new();
    for load in &all {
        let used = strength::collapse_utilisation(line, load);
        let on = |station_m: f64| (s.from_m..=s.to_m).contains(&station_m);
        let flat: Vec<_> = line
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
        let by = strength::GoverningState {
            which: load.which.clone(),
            in_sun: false,
            parts: load.parts,
        };
        let finding = pressed(
            study,
            (from.0, to.0),
            &by,
            (factor * pull_pa / used, pull_pa),
        );
        let alike = |(_, had): &&mut (f64, Finding)| is_one_harm(&had.kind, &finding.kind);
        match worst.iter_mut().find(alike) {
            Some(had) if used > had.0 => *had = (used, finding),
            Some(_) => {}
            None => worst.push((used, finding)),
        }
    }
    worst.into_iter().map(|(_, finding)| finding).collect()
}

/// Two states that press a pipe flat, cured by the same: both running, or both an emptying without a valve.
fn is_one_harm(a: &Kind, b: &Kind) -> bool {
    let (
        Kind::CollapseWithoutAir { of, cause, .. },
        Kind::CollapseWithoutAir {
            of: of_b,
            cause: cause_b,
            ..
        },
    ) = (a, b)
    else {
        return false;
    };
    match (cause, cause_b) {
        (PressureCause::Running(_), PressureCause::Running(_)) => true,
        (PressureCause::Emptied(_), PressureCause::Emptied(_)) => of == of_b,
        _ => false,
    }
}

/// The valve that is shut in a state, and what comes of suction in that state.
fn gravity<'a>(study: &'a Study, by: &strength::GoverningState) -> (Option<&'a Fitting>, Severity) {
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

fn pressed(
    study: &Study,
    (from_m, to_m): (f64, f64),
    by: &strength::GoverningState,
    (collapse_pa, pull_pa): (f64, f64),
) -> Finding {
    let (valve, severity) = gravity(study, by);
    let kind = Kind::CollapseWithoutAir {
        of: valve.map(|f| f.name.clone()).unwrap_or_default(),
        cause: cause(by),
        collapse_pa,
        least_pa: -pull_pa,
        at_once: at_once(study, by),
    };
    // the moduli by time and warmth and the factor of safety are not verified against their documents
    Finding::new(severity, kind, from_m, to_m).from_memory(true)
}

/// Pipe that a full vacuum would press flat, with the vents that keep it alive.
fn lives_by_vents(study: &Study, (from_m, to_m): (f64, f64)) -> Finding {
    let on = |station_m: f64| (from_m - NEAR_M..=to_m + NEAR_M).contains(&station_m);
    let stand = study
        .line
        .stands
        .iter()
        .filter(|s| on(s.station_m) && study.line.lets_in(s))
        .count();
    let wanted = study
        .air
        .iter()
        .flat_map(|a| &a.vents)
        .filter(|v| v.stands.is_none() && on(v.station_m) && v.device.lets_in())
        .count();
    // Where an inlet is still to be set, the line must not be emptied before.
    let severity = if wanted > 0 {
        Severity::Fix
    } else {
        Severity::Watch
    };
    let kind = Kind::NeedsAir { stand, wanted };
    Finding::new(severity, kind, from_m, to_m).from_memory(true)
}

/// A vent so near the pipe's end still serves it, m.
const NEAR_M: f64 = 10.0;

fn suction(study: &Study, strength: &Strength) -> Vec<Finding> {
    strength
        .suction
        .iter()
        .filter(|j| j.settled)
        .map(|j| {
            Finding::new(
                Severity::Fix,
                Kind::JointInSuction {
                    joint: j.joint,
                    least_pa: j.least_pa,
                    limit_pa: j.limit_pa,
                    cause: cause(&j.cause),
                    at_once: at_once(study, &j.cause),
                },
                j.from_m,
                j.to_m,
            )
            .from_memory(!j.own_limit)
        })
        .collect()
}

fn wheel(wheel: &strength::WheelLoad) -> Option<Finding> {
    let (severity, outcome) = match &wheel.outcome {
        Ok(pressed) if pressed.share > 1.0 => (Severity::Fix, Ok(pressed.share)),
        Ok(_) => return None,
        Err(why) => (Severity::Watch, Err(*why)),
    };
    Some(
        Finding::new(severity, Kind::Wheel { outcome }, wheel.from_m, wheel.to_m).from_memory(true),
    )
}

/// Movements: beyond what the pipe may take, or so low that the water parts.
pub fn surges(study: &Study) -> Vec<Finding> {
    let Some(surges) = &study.surges else {
        return Vec::new();
    };
    let limits = strength::limits(&study.line);
    let mut found = Vec::new();
    for surge in surges.weighed() {
        let allowed = match surge.often {
            Often::Routine => &limits.routine_pa,
            Often::Rare => &limits.rare_pa,
        };
        found.extend(over(surge, allowed).map(|f| {
            let memory = rests_on_memory(study, f.to_m);
            f.from_memory(memory)
        }));
        if let Some(vapour) = surge.vapour {
            let on_the_way = match surge.of {
                Mover::Fitting(i) => study
                    .line
                    .fittings
                    .get(i)
                    .is_some_and(|f| !study.line.at_the_turbine(f.station_m)),
                Mover::Jets | Mover::OneJet => false,
            };
            let kind = Kind::ColumnParts {
                movement: surge.movement.clone(),
                on_the_way: on_the_way && surge.to < surge.from,
                at_s: vapour.at_s,
                safe_s: surge.shortest_safe_s,
                law: surge.law,
                at_once: comes_at_once(surge),
            };
            found.push(Finding::new(
                Severity::Fix,
                kind,
                vapour.from_m,
                vapour.to_m,
            ));
        }
    }
    if surges.runs.iter().any(|s| !s.valid) {
        found.push(Finding::new(
            Severity::Watch,
            Kind::SurgeNotValid,
            0.0,
            study.line.length_m(),
        ));
    }
    found
}

/// Whether what the pipe at a station may take rests on a figure that is not verified.
fn rests_on_memory(study: &Study, station_m: f64) -> bool {
    study
        .strength
        .iter()
        .flat_map(|s| &s.reaches)
        .any(|r| r.from_memory && (r.from_m..=r.to_m).contains(&station_m))
}

fn over(surge: &Surge, allowed_pa: &[f64]) -> Option<Finding> {
    let beyond: Vec<_> = surge
        .points
        .iter()
        .zip(allowed_pa)
        .filter(|(p, a)| p.pressure_max_pa > **a)
        .collect();
    let (worst, allowed) = beyond
        .iter()
        .max_by(|a, b| (a.0.pressure_max_pa - a.1).total_cmp(&(b.0.pressure_max_pa - b.1)))?;
    let kind = Kind::SurgeOver {
        movement: surge.movement.clone(),
        pressure_pa: worst.pressure_max_pa,
        allowed_pa: **allowed,
        safe_s: surge.shortest_safe_s,
        law: surge.law,
        at_once: comes_at_once(surge),
    };
    let severity = match surge.often {
        Often::Routine => Severity::Stop,
        Often::Rare => Severity::Fix,
    };
    Some(Finding::new(
        severity,
        kind,
        beyond.first()?.0.station_m,
        beyond.last()?.0.station_m,
    ))
}

/// The weakest part in words that are names.
pub fn part(weakest: &Weakest) -> String {
    match weakest {
        Weakest::Pipe => "pipe".to_owned(),
        Weakest::Joint(_) => "joint".to_owned(),
        Weakest::Fitting(name) => name.clone(),
    }
}

/// What makes a pressure.
pub fn cause(cause: &strength::GoverningState) -> PressureCause {
    match &cause.which {
        Which::Standing if cause.in_sun => PressureCause::StandingInSun,
        Which::Standing => PressureCause::Standing,
        Which::Running(state) => PressureCause::Running(state.to_string()),
        Which::Movement { name, .. } => PressureCause::Surge(name.clone()),
        Which::Filling => PressureCause::Filling,
        Which::Test => PressureCause::Test,
        emptied @ (Which::ValveShut { .. } | Which::IntakeBlocked | Which::Drained) => {
            PressureCause::Emptied(emptied.to_string())
        }
    }
}

/// The movement behind a pull comes at once by itself.
fn at_once(study: &Study, cause: &strength::GoverningState) -> bool {
    let Which::Movement { run, .. } = cause.which else {
        return false;
    };
    let marched = study.surges.as_ref().and_then(|s| s.runs.get(run));
    marched.is_some_and(comes_at_once)
}

/// A blocked jet, unless the user gave it a time: nobody moves it.
fn comes_at_once(surge: &Surge) -> bool {
    surge.of == Mover::OneJet && surge.timing == Timing::AtOnce
}
