//! What suction may do that only holds with the survey's doubt counted: at the mean heights it does not, two standard deviations lower it does. The survey cannot tell.

use super::strong::cause;
use crate::finding::{Finding, Kind, Severity};
use crate::flow::{Run, suction};
use crate::line::AirFor;
use crate::strength::{self, OutsideLow, ReachStrength, Strength};
use crate::study::Study;
use crate::unit::physics::water;

/// Pipe that may be pressed flat, joints that may be sucked at, a line that may not run full, a movement in which the water may part.
pub fn low(study: &Study) -> Vec<Finding> {
    let Some(strength) = &study.strength else {
        return Vec::new();
    };
    let mut found: Vec<Finding> = strength.reaches.iter().filter_map(collapse).collect();
    found.extend(joints(strength));
    let doubt_pa = strength::limits(&study.line).doubt_pa;
    found.extend(full(study, &doubt_pa));
    found.extend(parting(study, &doubt_pa));
    found
}

fn collapse(s: &ReachStrength) -> Option<Finding> {
    let low = s
        .outside_low
        .as_ref()
        .filter(|low| low.share > 1.0 && s.outside_use <= 1.0)?;
    let OutsideLow {
        share,
        share_mean,
        station_m,
        ..
    } = *low;
    let kind = Kind::CollapseNotSettled {
        spec: s.spec.clone(),
        cause: cause(&low.cause),
        pull_pa: low.pull_pa,
        use_mean: share_mean,
        use_low: share,
    };
    // as where it is certain: the moduli and the factor of safety are not verified against their documents
    Some(Finding::new(Severity::Fix, kind, station_m, station_m).from_memory(true))
}

fn joints(strength: &Strength) -> impl Iterator<Item = Finding> {
    strength.suction.iter().filter(|j| !j.settled).map(|j| {
        let kind = Kind::JointNotSettled {
            joint: j.joint,
            least_pa: j.least_pa,
            least_low_pa: j.least_low_pa,
            limit_pa: j.limit_pa,
            cause: cause(&j.cause),
        };
        Finding::new(Severity::Fix, kind, j.from_m, j.to_m).from_memory(!j.own_limit)
    })
}

/// The state with the largest flow, where it runs full by the mean heights and the working limit lies within the doubt.
fn full(study: &Study, doubt_pa: &[f64]) -> Option<Finding> {
    let line = &study.line;
    let run: &Run = study
        .cases
        .largest_flow()
        .filter(|r| r.flows() && r.limited.is_none())?;
    let weight = run.water.density_kg_per_m3 * line.situation.gravity_m_per_s2;
    let boiling_m = suction::vapour_head_m(
        line.situation.air_pa(AirFor::Hanging),
        &run.water,
        line.situation.gravity_m_per_s2,
    );
    let stations: Vec<f64> = run.points.iter().map(|p| p.station_m).collect();
    let limits_m = suction::working_limits_m(line, &stations, boiling_m);
    let (point, least, doubt, limit) = run
        .points
        .iter()
        .zip(doubt_pa)
        .zip(limits_m)
        .map(|((p, doubt), limit_m)| {
            let least = p.pressure_pa.min(p.pressure_below_pa);
            (p, least, *doubt, limit_m * weight)
        })
        .min_by(|a, b| (a.1 - a.2 - a.3).total_cmp(&(b.1 - b.2 - b.3)))?;
    if least - doubt >= limit {
        return None;
    }
    let kind = Kind::FullNotSettled {
        case: run.state().clone(),
        pressure_pa: least,
        low_pa: least - doubt,
        limit_pa: limit,
    };
    let at = point.station_m;
    // but at a vent the working limit is common practice and own caution
    Some(Finding::new(Severity::Watch, kind, at, at).from_memory(limit < 0.0))
}

/// Movements in which the water stays whole by the mean heights on a usual day, and would part two standard deviations lower in bad weather.
fn parting(study: &Study, doubt_pa: &[f64]) -> Vec<Finding> {
    let line = &study.line;
    let boils_pa = water(line.water.warmest_c).vapour_pa - line.situation.air_pa(AirFor::Hanging);
    let weather_pa = line.situation.weather_pa();
    let weighed = study.surges.iter().flat_map(|s| s.weighed());
    weighed
        .filter(|s| s.vapour.is_none())
        .filter_map(|surge| {
            let low: Vec<f64> = surge
                .points
                .iter()
                .zip(doubt_pa)
                .filter(|(p, doubt)| {
                    p.pressure_min_pa
                        .is_some_and(|pa| pa - **doubt < boils_pa + weather_pa)
                })
                .map(|(p, _)| p.station_m)
                .collect();
            let kind = Kind::PartingNotSettled {
                movement: surge.movement.clone(),
                safe_s: surge.shortest_safe_s,
            };
            Some(Finding::new(
                Severity::Watch,
                kind,
                *low.first()?,
                *low.last()?,
            ))
        })
        .collect()
}
