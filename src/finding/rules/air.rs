use crate::air::{Decider, Pocket, PocketCause, Start, StartVerdict, VentFault, serves};
use crate::finding::{Finding, Kind, Severity, Starting, setups};
use crate::line::Appurtenance;
use crate::pipe::{Device, MarkKind, WorkingState};
use crate::study::Study;

/// What lets the air out of a climb by itself: the user's name for it, or its kind and station.
pub fn vented_by(study: &Study, climb: usize) -> Option<String> {
    let air = study.air.as_ref()?;
    let pocket = air.pockets.iter().find(|p| p.climb == Some(climb))?;
    let stand = pocket
        .vented_by
        .first()
        .and_then(|i| study.line.stands.get(*i))?;
    Some(if stand.name.is_empty() {
        "the vent there".to_owned()
    } else {
        stand.name.clone()
    })
}

/// Vents that do not let the air out of a climb by themselves: where they stand, m.
#[derive(Debug, Clone, Copy, Default)]
pub struct AtCrest {
    /// One that works, but only while somebody opens it.
    pub by_hand_m: Option<f64>,
    /// One that would, and does not work.
    pub idle_m: Option<f64>,
}

/// What stands at a climb's crest and does not vent it by itself.
pub fn at_crest(study: &Study, climb: usize) -> AtCrest {
    // A vent this far from the surveyed crest is taken to be meant for it.
    const NEAR_M: f64 = 2.0;
    let Some(climb) = study.profile.climbs.get(climb) else {
        return AtCrest::default();
    };
    let crest = climb.crest_from_m.min(climb.crest_station_m) - NEAR_M
        ..=climb.crest_to_m.max(climb.crest_station_m) + NEAR_M;
    let line = &study.line;
    let vents = || {
        let all = line.stands.iter().filter(|s| s.kind == MarkKind::Vent);
        all.filter(|s| crest.contains(&s.station_m))
    };
    let place = |s: &Appurtenance| s.station_m;
    AtCrest {
        by_hand_m: vents()
            .find(|s| line.counts(s) && s.is_by_hand())
            .map(place),
        idle_m: vents()
            .filter(|s| s.state == WorkingState::Stuck || s.is_shut_off())
            .find(|s| s.device.is_none_or(Device::lets_out))
            .map(place),
    }
}

/// Whether an open vent on a climb would draw air in while some state runs.
pub fn cock_only(study: &Study, climb: usize) -> bool {
    let crest = study.profile.climbs.get(climb).map(|c| c.crest_station_m);
    crest.is_some_and(|s| crate::air::draws_air(&study.line, &study.cases.runs, s))
}

/// Whether a climb is the siphon at the intake, which wants no vent.
pub fn is_siphon(study: &Study, climb: usize) -> bool {
    let siphon = study.air.as_ref().and_then(|a| a.siphon);
    let climb = study.profile.climbs.get(climb);
    siphon.zip(climb).is_some_and(|(s, c)| {
        (c.low_station_m.min(c.crest_from_m)..=c.crest_station_m.max(c.crest_to_m))
            .contains(&s.station_m)
    })
}

/// What the pockets of the start take from the state with the largest flow while they are left in.
pub fn left_in(study: &Study) -> Vec<Finding> {
    let Some(air) = &study.air else {
        return Vec::new();
    };
    // what does not start is told by itself
    if air.start.verdict == StartVerdict::Locks {
        return Vec::new();
    }
    let Some((left, run)) = air
        .left_in
        .iter()
        .filter_map(|left| Some((left, study.cases.of(&left.case)?)))
        .max_by(|a, b| a.1.flow_m3_per_s.total_cmp(&b.1.flow_m3_per_s))
    else {
        return Vec::new();
    };
    let eats = air
        .start
        .crests
        .iter()
        .filter(|c| !c.vented && c.sealed_m > 0.0);
    let (from, to) = eats.fold((f64::INFINITY, 0.0_f64), |(from, to), c| {
        (from.min(c.station_m), to.max(c.next_low_station_m))
    });
    vec![Finding::new(
        Severity::Watch,
        Kind::AirTakes {
            case: left.case.clone(),
            head_m: (left.head_compressed_m, left.head_full_m),
            flow_m3_per_s: run.flow_m3_per_s,
            flow_sd_m3_per_s: run.flow_sd_m3_per_s,
            head_sd_m: run.net_head_sd_m,
            left_m3_per_s: (left.flow_compressed_m3_per_s, left.flow_full_m3_per_s),
            power_share: (left.power_share_compressed, left.power_share_full),
        },
        from,
        to,
    )]
}

/// Whether the drained line starts, with somebody there and with nobody.
pub fn start(study: &Study) -> Vec<Finding> {
    let Some(air) = &study.air else {
        return Vec::new();
    };
    // A siphon that does not hold is told by itself: nothing starts before it is put right.
    if air.siphon.is_some_and(|s| !s.holds()) {
        return Vec::new();
    }
    let mut found: Vec<Finding> = one(
        study,
        &air.start,
        (&air.cure.stations_m, air.cure.starts),
        false,
    )
    .into_iter()
    .collect();
    // With nobody there it can only be worse: told apart only where it is.
    // A siphon never starts by itself: that is told with the siphon.
    if air.unattended.verdict == StartVerdict::Locks
        && air.start.verdict != StartVerdict::Locks
        && air.siphon.is_none()
    {
        found.extend(one(
            study,
            &air.unattended,
            (&air.cure.unattended_m, air.cure.starts_unattended),
            true,
        ));
    }
    found
}

fn one(
    study: &Study,
    start: &Start,
    (vents_m, vents_enough): (&[f64], bool),
    unattended_only: bool,
) -> Option<Finding> {
    let reach = |deciders: &[Decider]| {
        let from = deciders
            .iter()
            .map(|d| d.from_m)
            .min_by(f64::total_cmp)
            .unwrap_or(0.0);
        let to = deciders
            .iter()
            .map(|d| d.to_m)
            .max_by(f64::total_cmp)
            .unwrap_or(study.line.length_m());
        (from, to)
    };
    let (from, to) = reach(&start.decided_by);
    let level_m = start.to_level_m(&study.profile.climbs);
    let starting = Starting {
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
    let (severity, kind, certainty) = match start.verdict {
        StartVerdict::Starts => return None,
        StartVerdict::Locks => (
            Severity::Fix,
            Kind::Locks(starting),
            1.0 - start.probability_compressed,
        ),
        StartVerdict::MayStart => (
            Severity::Watch,
            Kind::MayStart(starting),
            1.0 - start.probability_starts,
        ),
        StartVerdict::CannotTell => (
            Severity::Fix,
            Kind::StartNotSettled(starting),
            1.0 - start.probability_starts,
        ),
    };
    Some(Finding::new(severity, kind, from, to).certainty(certainty))
}

/// Vents that stand and do not do their work.
pub fn vents(study: &Study) -> Vec<Finding> {
    let Some(air) = &study.air else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for vent in &air.vents {
        let Some(stand) = vent.stands.and_then(|i| study.line.stands.get(i)) else {
            continue;
        };
        let name = if stand.name.is_empty() {
            "The vent".to_owned()
        } else {
            stand.name.clone()
        };
        for fault in &vent.faults {
            let severity = match fault {
                VentFault::Stuck
                | VentFault::CockShut
                | VentFault::Spills { .. }
                | VentFault::Inhales(_) => Severity::Fix,
                _ => Severity::Watch,
            };
            found.push(
                Finding::new(
                    severity,
                    Kind::VentFails {
                        name: name.clone(),
                        fault: fault.clone(),
                    },
                    stand.station_m,
                    stand.station_m,
                )
                .from_memory(vent.from_memory),
            );
        }
    }
    found
}

/// Where air gathers though the pipe falls; climbs are told by themselves.
pub fn gathers(study: &Study) -> Vec<Finding> {
    let Some(air) = &study.air else {
        return Vec::new();
    };
    // the cock below a shut-off where no vent may stand that works by itself: whether it stands
    let cock_stands = |p: &Pocket| {
        air.vents
            .iter()
            .find(|v| v.device == Device::HandCock && serves(&study.line, p, v.station_m))
            .filter(|_| p.why == PocketCause::BelowShutOff)
            .map(|v| v.stands.is_some() && v.faults.is_empty())
    };
    air.pockets
        .iter()
        .filter(|p| {
            !matches!(
                p.why,
                PocketCause::Climb | PocketCause::Flat | PocketCause::LongRun
            ) && p.vented_by.is_empty()
                && cock_stands(p) != Some(true)
        })
        .map(|p| {
            Finding::new(
                Severity::Watch,
                Kind::AirGathers {
                    why: p.why,
                    cock_only: cock_stands(p).is_some(),
                },
                p.from_m,
                p.to_m,
            )
            .certainty(p.certainty)
            .from_memory(p.from_memory)
        })
        .collect()
}

/// Lows that keep water when the line is drained.
pub fn drains(study: &Study) -> Vec<Finding> {
    let Some(air) = &study.air else {
        return Vec::new();
    };
    air.drains
        .iter()
        .filter(|d| d.stands.is_none() && d.left_standing_m3 > 0.0)
        .map(|d| {
            Finding::new(
                Severity::Watch,
                Kind::LowUndrained {
                    left_m3: d.left_standing_m3,
                    frost: d.frost,
                },
                d.station_m,
                d.station_m,
            )
            .certainty(d.certainty)
            .from_memory(d.from_memory)
        })
        .collect()
}
