use crate::finding::{Finding, Kind, Severity};
use crate::flow::{Limited, LimitedBy, Remedy, Run, WhyNot};
use crate::laying::BendMethod;
use crate::study::Study;

/// Running states: does the line run full, how fast, how much is lost, where is suction.
pub fn cases(study: &Study) -> Vec<Finding> {
    let mut found = not_full(&study.cases.runs);
    let end = study.line.length_m();
    found.extend(study.cases.not_run.iter().filter_map(|n| match n.why {
        WhyNot::NoHead { gross_head_m } => Some(Finding::new(
            Severity::Stop,
            Kind::NoHead { gross_head_m },
            0.0,
            end,
        )),
        _ => None,
    }));
    found.dedup_by(|a, b| a.kind.word() == "no head" && b.kind.word() == "no head");
    found.extend(cannot_be(study));
    // The strongest state speaks for the others.
    let Some(most) = study.cases.largest_flow().filter(|r| r.flows()) else {
        return found;
    };
    let limit = study.line.limits.velocity_m_per_s;
    if most.velocity_max_m_per_s > limit {
        let at = most.velocity_max_station_m;
        found.push(Finding::new(
            Severity::Watch,
            Kind::Fast {
                case: most.state().clone(),
                velocity_m_per_s: most.velocity_max_m_per_s,
                limit_m_per_s: limit,
            },
            at,
            at,
        ));
    }
    // what the water falls in a pipe that is not full is no loss that a larger pipe saves
    let share = most.losses.in_pipe_m() / most.gross_head_m;
    if most.gross_head_m > 0.0 && share > USUAL_LOSS {
        found.push(Finding::new(
            Severity::Watch,
            Kind::LossHigh {
                case: most.state().clone(),
                share,
            },
            0.0,
            end,
        ));
    }
    found.extend(suction(most));
    found.extend(silt(most));
    found
}

/// What was asked and cannot be: each reason once, with the states it holds for.
fn cannot_be(study: &Study) -> Vec<Finding> {
    let mut found: Vec<Finding> = Vec::new();
    for not in &study.cases.not_run {
        // the drop that lacks is told by itself, and so is a line without pipe
        if matches!(not.why, WhyNot::NoHead { .. } | WhyNot::NoPipe) {
            continue;
        }
        let known = found.iter_mut().find_map(|f| match &mut f.kind {
            Kind::CannotBe { cases, why, .. } if *why == not.why => Some(cases),
            _ => None,
        });
        if let Some(cases) = known {
            cases.push(not.state.clone());
            continue;
        }
        let fitting = match not.why {
            WhyNot::ValveShut { fitting } | WhyNot::NoCoefficient { fitting } => {
                study.line.fittings.get(fitting)
            }
            _ => None,
        };
        let kind = Kind::CannotBe {
            cases: vec![not.state.clone()],
            why: not.why,
            fitting: fitting.map(|f| f.name.clone()),
        };
        found.push(Finding::new(
            Severity::Fix,
            kind,
            0.0,
            study.line.length_m(),
        ));
    }
    found
}

/// Where the state with the largest flow is too slow to carry silt: the others are slower still.
fn silt(run: &Run) -> Option<Finding> {
    let slow: Vec<_> = run.silt.iter().filter(|c| c.settles()).collect();
    let worst = slow
        .iter()
        .min_by(|a, b| a.velocity_m_per_s.total_cmp(&b.velocity_m_per_s))?;
    Some(
        Finding::new(
            Severity::Watch,
            Kind::SiltSettles {
                case: run.state().clone(),
                velocity_m_per_s: worst.velocity_m_per_s,
                carries_m_per_s: worst.carries_m_per_s,
                flushes_m_per_s: worst.flushes_m_per_s,
            },
            slow.first()?.from_m,
            slow.last()?.to_m,
        )
        // the drags are from memory
        .from_memory(true),
    )
}

/// Share of the head that may be lost before it is worth a word: 10 to 15 % is usual (common practice, no source).
const USUAL_LOSS: f64 = 0.20;

/// Suction that is worth a word, Pa: a metre of water below the air's pressure.
const SUCTION_PA: f64 = -9_800.0;

/// States that a point above the grade line holds back: each point once, told by the state that asks for least.
fn not_full(runs: &[Run]) -> Vec<Finding> {
    let mut found: Vec<Finding> = Vec::new();
    for run in runs {
        let Some(limited) = run.limited.as_ref().filter(|l| l.by != LimitedBy::Stream) else {
            continue;
        };
        let known = found.iter_mut().find(|f| f.from_m == limited.station_m);
        if let Some(Kind::NotFull { also, .. }) = known.map(|f| &mut f.kind) {
            also.push((run.state().clone(), throttle(limited)));
            continue;
        }
        let finding = Finding::new(
            Severity::Fix,
            Kind::NotFull {
                case: run.state().clone(),
                flow_m3_per_s: run.flow_m3_per_s,
                limited: limited.clone(),
                also: Vec::new(),
            },
            limited.station_m,
            limited.station_m,
        );
        // where no vent lets air in and nothing boils, the working limit decides: common practice and own caution
        let by_limit = !limited.vented && limited.by == LimitedBy::Crest;
        found.push(finding.from_memory(by_limit));
    }
    found
}

/// The share of the jets' area that throttling must leave, where it helps.
fn throttle(limited: &Limited) -> Option<f64> {
    limited.remedies.iter().find_map(|r| match r {
        Remedy::Throttle { area_share, .. } => Some(*area_share),
        _ => None,
    })
}

fn suction(run: &Run) -> Option<Finding> {
    let low: Vec<_> = run
        .points
        .iter()
        .filter(|p| !p.part_full && p.pressure_pa.min(p.pressure_below_pa) < SUCTION_PA)
        .collect();
    let least = low
        .iter()
        .map(|p| p.pressure_pa.min(p.pressure_below_pa))
        .min_by(f64::total_cmp)?;
    Some(Finding::new(
        Severity::Watch,
        Kind::Suction {
            case: run.state().clone(),
            pressure_pa: least,
        },
        low.first()?.station_m,
        low.last()?.station_m,
    ))
}

/// The stream against what the jets take, in its leanest month.
pub fn stream(study: &Study) -> Vec<Finding> {
    let Some(stream) = &study.stream else {
        return Vec::new();
    };
    let Some(month) = stream.months.get(stream.driest) else {
        return Vec::new();
    };
    // Of measured days alone the days speak for themselves, as long as anything may be taken.
    if stream.as_measured && month.may_take_m3_per_s > 0.0 {
        return Vec::new();
    }
    // The smallest state that is already too much says where the limit lies.
    let short = stream
        .takes
        .iter()
        .filter(|t| t.at_intake_m3_per_s > month.may_take_m3_per_s * (1.0 + 1e-9))
        .min_by(|a, b| a.at_intake_m3_per_s.total_cmp(&b.at_intake_m3_per_s));
    short
        .map(|t| {
            Finding::new(
                // a stream of which nothing may be taken in any month runs nothing
                if stream.months.iter().all(|m| m.may_take_m3_per_s <= 0.0) {
                    Severity::Fix
                } else {
                    Severity::Watch
                },
                Kind::StreamShort {
                    case: t.state.clone(),
                    flow_m3_per_s: t.at_intake_m3_per_s,
                    available_m3_per_s: month.may_take_m3_per_s,
                    month: (stream.months.len() > 1).then_some(stream.driest + 1),
                    feeds: month
                        .feeds
                        .and_then(|i| stream.takes.get(i))
                        .map(|t| t.state.clone()),
                },
                0.0,
                0.0,
            )
        })
        .into_iter()
        .collect()
}

/// Gauges that do not agree with the line. What could explain them all is told with the first.
pub fn readings(study: &Study) -> Vec<Finding> {
    let Some(gauges) = &study.gauges else {
        return Vec::new();
    };
    let off = gauges.readings.iter().filter(|r| !r.agrees);
    off.filter_map(|r| Some((study.line.gauges.get(r.gauge)?.station_m, r)))
        .enumerate()
        .map(|(i, (at, reading))| {
            let first = i == 0;
            Finding::new(
                Severity::Watch,
                Kind::GaugeOff {
                    shut: reading.shut,
                    by_m: reading.off_m,
                    sd_m: reading.off_sd_m,
                    causes: if first {
                        gauges.explanations.clone()
                    } else {
                        Vec::new()
                    },
                    ranked: gauges.ranked,
                    next: gauges.next.clone().filter(|_| first),
                },
                at,
                at,
            )
        })
        .collect()
}

/// The first metres are flat where it takes so many bores of pipe to fall by one: less than 1 in 100 (our judgement).
const FLAT_BORES: f64 = 100.0;

/// The siphon at the intake: that it must be primed, or why it does not hold.
pub fn siphon(study: &Study) -> Option<Finding> {
    let standing = study.air.as_ref().and_then(|a| a.siphon)?;
    let running = study.intake.as_ref().and_then(|i| i.siphon);
    let at = standing.station_m;
    if standing.holds() && running.is_none_or(|r| r.holds) {
        let kind = Kind::SiphonByHand {
            lift_m: standing.lift_m,
            boils_at_m: standing.boils_at_m,
        };
        return Some(Finding::new(Severity::Watch, kind, at, at));
    }
    let kind = Kind::SiphonFails {
        lift_m: standing.lift_m,
        gauge_m: running.filter(|_| standing.holds()).map(|r| r.gauge_m),
        limit_m: -standing.works_to_m,
        vented: standing.broken_by.is_some(),
    };
    // the working limit is common practice and own caution
    Some(Finding::new(Severity::Fix, kind, at, at).from_memory(standing.broken_by.is_none()))
}

/// The mouth: water over it, the first metres.
pub fn intake(study: &Study) -> Vec<Finding> {
    let mut found: Vec<Finding> = siphon(study).into_iter().collect();
    let Some(intake) = &study.intake else {
        return found;
    };
    let watch = |kind, to_m| Finding::new(Severity::Watch, kind, 0.0, to_m);
    if let (Some(false), Some(has_m)) = (intake.is_deep_enough(), intake.cover_m) {
        let kind = Kind::Submergence {
            has_m,
            wants_m: intake.wanted_m,
        };
        found.push(watch(kind, 0.0).from_memory(true));
    }
    let bore_m = study
        .line
        .reaches
        .first()
        .map_or(f64::INFINITY, |r| r.pipe.inner_diameter_m);
    let climbs = study
        .line
        .heights
        .mean_m
        .iter()
        .zip(&study.line.heights.station_m);
    let mouth_m = study.line.elevation_m(0.0);
    let falls = climbs
        .take_while(|(_, s)| **s <= intake.first.to_m)
        .all(|(z, _)| z - mouth_m <= 0.5 * bore_m);
    if falls && intake.first.to_m > FLAT_BORES * bore_m {
        let kind = Kind::FirstMetresFlat {
            to_m: intake.first.to_m,
            least_gauge_m: intake.first.least_gauge_m,
        };
        found.push(watch(kind, intake.first.to_m));
    }
    found
}

/// Bends that the pipe cannot follow, or may not; what stands in a bend; joints that could not be kept away.
pub fn bends(study: &Study) -> Vec<Finding> {
    let Some(laying) = &study.laying else {
        return Vec::new();
    };
    let watch = |kind, at: f64| Finding::new(Severity::Watch, kind, at, at);
    let restrained = |at: f64| {
        let reach = study.line.reach_at(at);
        reach.is_some_and(crate::anchor::ground::is_restrained)
    };
    let mut found: Vec<Finding> = laying
        .bends
        .iter()
        .filter_map(|b| {
            let kind = match b.way {
                BendMethod::Elbow(elbow_rad) => Kind::BendTooSharp {
                    angle_rad: b.angle_rad,
                    radius_m: b.radius_m,
                    least_m: b.least_radius_m,
                    elbow_rad,
                    restrained: restrained(b.station_m),
                },
                BendMethod::CannotTell => Kind::BendNotSettled {
                    angle_rad: b.angle_rad,
                    sd_rad: b.sd_rad,
                },
                BendMethod::Pipe | BendMethod::Joints(_) | BendMethod::Stands(_) => return None,
            };
            Some(watch(kind, b.station_m).from_memory(b.how.is_unverified()))
        })
        .collect();
    found.extend(laying.fittings_in_bends.iter().filter_map(|(fitting, _)| {
        let fitting = study.line.fittings.get(*fitting)?;
        let name = fitting.name.clone();
        Some(watch(Kind::FittingInBend { name }, fitting.station_m).from_memory(true))
    }));
    let forced: Vec<f64> = laying
        .joints
        .iter()
        .filter(|j| j.forced.is_some())
        .map(|j| j.station_m)
        .collect();
    if let (Some(first), Some(last)) = (forced.first(), forced.last()) {
        let kind = Kind::JointsForced {
            count: forced.len(),
        };
        found.push(Finding::new(Severity::Watch, kind, *first, *last));
    }
    found
}
