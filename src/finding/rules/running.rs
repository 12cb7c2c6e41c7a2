use crate::finding::{Finding, Kind, Severity};
use crate::flow::{LimitedBy, Run, WhyNot};
use crate::laying::Way;
use crate::study::Study;

/// Running states: does the line run full, how fast, how much is lost, where is suction.
pub fn cases(study: &Study) -> Vec<Finding> {
    let mut found: Vec<Finding> = study.cases.runs.iter().filter_map(not_full).collect();
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
                case: most.name.clone(),
                velocity_m_per_s: most.velocity_max_m_per_s,
                limit_m_per_s: limit,
            },
            at,
            at,
        ));
    }
    if most.loss_share() > USUAL_LOSS {
        found.push(Finding::new(
            Severity::Watch,
            Kind::LossHigh {
                case: most.name.clone(),
                share: most.loss_share(),
            },
            0.0,
            end,
        ));
    }
    found.extend(suction(most));
    found
}

/// Share of the head that may be lost before it is worth a word: 10 to 15 % is usual (common practice, no source).
const USUAL_LOSS: f64 = 0.20;

/// Suction that is worth a word, Pa: a metre of water below the air's pressure.
const SUCTION_PA: f64 = -9_800.0;

fn not_full(run: &Run) -> Option<Finding> {
    let limited = run.limited.as_ref().filter(|l| l.by != LimitedBy::Stream)?;
    Some(Finding::new(
        Severity::Fix,
        Kind::NotFull {
            case: run.name.clone(),
            flow_m3_per_s: run.flow_m3_per_s,
            boiling: limited.by == LimitedBy::Boiling,
            vented: limited.vented,
        },
        limited.station_m,
        limited.station_m,
    ))
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
            case: run.name.clone(),
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
    // The smallest state that is already too much says where the limit lies.
    let short = stream
        .takes
        .iter()
        .filter(|t| t.at_intake_m3_per_s > month.may_take_m3_per_s * (1.0 + 1e-9))
        .min_by(|a, b| a.at_intake_m3_per_s.total_cmp(&b.at_intake_m3_per_s));
    short
        .map(|t| {
            Finding::new(
                Severity::Watch,
                Kind::StreamShort {
                    case: t.name.clone(),
                    flow_m3_per_s: t.at_intake_m3_per_s,
                    available_m3_per_s: month.may_take_m3_per_s,
                },
                0.0,
                0.0,
            )
        })
        .into_iter()
        .collect()
}

/// Gauges that do not agree with the line, and a mouth that lies too high.
pub fn readings(study: &Study) -> Vec<Finding> {
    let mut found = Vec::new();
    for reading in study
        .gauges
        .iter()
        .flat_map(|g| &g.readings)
        .filter(|r| !r.agrees)
    {
        let at = study
            .line
            .gauges
            .get(reading.gauge)
            .map_or(0.0, |g| g.station_m);
        found.push(Finding::new(
            Severity::Watch,
            Kind::GaugeOff {
                shut: reading.shut,
                by_m: reading.off_m,
                sd_m: reading.off_sd_m,
            },
            at,
            at,
        ));
    }
    if let Some(intake) = study
        .intake
        .as_ref()
        .filter(|i| i.is_deep_enough() == Some(false))
    {
        let kind = Kind::Submergence {
            has_m: intake.cover_m.unwrap_or(0.0),
            wants_m: intake.wanted_m,
        };
        found.push(Finding::new(Severity::Watch, kind, 0.0, 0.0).from_memory(true));
    }
    found
}

/// Bends that the pipe cannot follow, or may not; what stands in a bend; joints that could not be kept away.
pub fn bends(study: &Study) -> Vec<Finding> {
    let Some(laying) = &study.laying else {
        return Vec::new();
    };
    let watch = |kind, at: f64| Finding::new(Severity::Watch, kind, at, at);
    let mut found: Vec<Finding> = laying
        .bends
        .iter()
        .filter_map(|b| {
            let kind = match b.way {
                Way::Elbow(elbow_rad) => Kind::BendTooSharp {
                    angle_rad: b.angle_rad,
                    radius_m: b.radius_m,
                    least_m: b.least_radius_m,
                    elbow_rad,
                },
                Way::CannotTell => Kind::BendNotSettled {
                    angle_rad: b.angle_rad,
                    sd_rad: b.sd_rad,
                },
                Way::Pipe | Way::Joints(_) | Way::Stands(_) => return None,
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
