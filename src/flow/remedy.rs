//! Why a line does not run full, and what would help, each with its number.

use super::case_model::{CaseModel, Solution};
use super::conduit::Conduit;
use super::demand::Demand;
use super::friction::SAME_M;
use super::limit::PartFullSolution;
use super::{AtBest, Limited, LimitedBy, Remedy, demand, suction};
use crate::numeric::series;

pub(super) fn limited(
    case: &CaseModel<'_>,
    answer: &Solution,
    by: LimitedBy,
    broken: &PartFullSolution,
) -> Limited {
    let at = |v: &[f64]| series::at(v, broken.governs);
    let station_m = at(&case.stations_m);
    let slope = case.slope(answer.area_m2);
    let sealed = case
        .conduit
        .profile(answer.sealed_m3_per_s, &case.stations_m);
    let gauge = slope.gauge_m(&sealed, case.level_m);
    let here = at(&gauge);
    let boils = gauge.iter().any(|&g| g < case.boiling_m);
    let (from_m, to_m) = sucked_around(case, &gauge, broken.governs);
    let vented = suction::open_vents(case.line)
        .any(|s| (from_m - SAME_M..=to_m + SAME_M).contains(&s.station_m));
    let at_best = (by == LimitedBy::Crest && answer.sealed_m3_per_s > 0.0 && !boils)
        .then(|| best(case, answer.sealed_m3_per_s));
    Limited {
        by,
        station_m,
        vented,
        suction_m: (by != LimitedBy::Stream && here >= case.boiling_m).then_some(here),
        working_limit_m: at(&case.working_m),
        boiling_limit_m: case.boiling_m,
        full_again_m: broken
            .falls
            .iter()
            .map(|f| f.full_at_m)
            .fold(station_m, f64::max),
        at_best,
        remedies: remedies(case, answer, by, &gauge, broken.governs, vented),
    }
}

/// The stretch around a station that a full line would suck at: a vent anywhere in it lets the air in.
fn sucked_around(case: &CaseModel<'_>, gauge_m: &[f64], governs: usize) -> (f64, f64) {
    let sucked = |i: &usize| gauge_m.get(*i).is_some_and(|g| *g < 0.0);
    let station = |i: usize| series::at(&case.stations_m, i);
    let from = (0..=governs)
        .rev()
        .take_while(|i| *i == governs || sucked(i));
    let to = (governs..case.stations_m.len()).take_while(|i| *i == governs || sucked(i));
    (
        station(from.last().unwrap_or(governs)),
        station(to.last().unwrap_or(governs)),
    )
}

fn best(case: &CaseModel<'_>, flow_m3_per_s: f64) -> AtBest {
    let net_head_m = case.gross_head_m - case.conduit.loss_m(flow_m3_per_s);
    let weight = case.conditions.water.density_kg_per_m3 * case.conduit.gravity_m_per_s2;
    AtBest {
        flow_m3_per_s,
        net_head_m,
        water_power_w: weight * flow_m3_per_s * net_head_m,
    }
}

fn remedies(
    case: &CaseModel<'_>,
    answer: &Solution,
    by: LimitedBy,
    gauge_m: &[f64],
    governs: usize,
    vented: bool,
) -> Vec<Remedy> {
    let mut out = Vec::new();
    let full = answer.sealed_m3_per_s;
    let slope = case.slope(answer.area_m2);
    if by == LimitedBy::Stream {
        out.extend(throttle(case, answer, answer.flow_m3_per_s));
        return out;
    }
    let limit = |i: usize| case.working_m.get(i).copied();
    if let Ok((flow, _)) = slope.largest_flow(full, limit) {
        out.extend(throttle(case, answer, flow));
    }
    if vented && holds_without_vents(case, gauge_m) {
        out.push(Remedy::ShutVent);
    }
    let over = gauge_m
        .iter()
        .zip(&case.working_m)
        .map(|(g, w)| w - g)
        .fold(0.0, f64::max);
    if over > 0.0 {
        out.push(Remedy::LowerCrest { by_m: over });
    }
    if let Some(bore_m) = larger_upper(case, last_held(case, gauge_m, governs)) {
        out.push(Remedy::LargerUpperPipe { bore_m });
    }
    out
}

/// Jets that pass no more than a flow: the line then stays full.
fn throttle(case: &CaseModel<'_>, answer: &Solution, flow_m3_per_s: f64) -> Option<Remedy> {
    if flow_m3_per_s <= 0.0 || answer.area_m2 <= 0.0 || case.demand == Demand::Shut {
        return None;
    }
    let state = best(case, flow_m3_per_s);
    let ideal = (2.0 * case.conduit.gravity_m_per_s2 * state.net_head_m).sqrt();
    let area_share = flow_m3_per_s / ideal / answer.area_m2;
    (state.net_head_m > 0.0 && area_share < 1.0).then_some(Remedy::Throttle {
        flow_m3_per_s,
        net_head_m: state.net_head_m,
        water_power_w: state.water_power_w,
        area_share,
    })
}

fn holds_without_vents(case: &CaseModel<'_>, gauge_m: &[f64]) -> bool {
    case.stations_m.iter().zip(gauge_m).all(|(&s, &g)| {
        g >= suction::working_limit_m(&case.line.reaches, &case.line.wishes, s, case.boiling_m)
    })
}

/// The lowest station that the way out must hold too: a vent in the same sucked stretch, below the governing one.
fn last_held(case: &CaseModel<'_>, gauge_m: &[f64], governs: usize) -> usize {
    let (_, to_m) = sucked_around(case, gauge_m, governs);
    let vents = suction::open_vents(case.line)
        .map(|v| v.station_m)
        .filter(|v| *v <= to_m + SAME_M);
    let place = |at: f64| case.stations_m.partition_point(|&s| s < at - SAME_M);
    vents.map(place).fold(governs, usize::max)
}

/// The bore of the pipe from the intake to just past the governing station with which the line would hold, m; `None` where three times the bore is not enough.
fn larger_upper(case: &CaseModel<'_>, governs: usize) -> Option<f64> {
    const MOST: f64 = 3.0;
    let station_m = case.stations_m.get(governs).copied()?;
    if station_m <= SAME_M {
        return None;
    }
    // the wide pipe reaches past the crest, so that the narrowing stands below it
    let past_m = case.stations_m.get(governs + 1).copied()?;
    let margin = |share: f64| {
        let conduit = case.conduit.with_upper_bore(past_m, share);
        let flow = match &case.demand {
            Demand::Shut => 0.0,
            Demand::Flow(flow) => *flow,
            Demand::Jets(indexes) => demand::full_flow_m3_per_s(
                &conduit,
                case.gross_head_m,
                demand::nozzle_area_m2(case.line.outlet.as_ref(), indexes),
            )
            .unwrap_or(f64::NAN),
        };
        tightest(case, &conduit, flow, governs)
    };
    if margin(MOST) < 0.0 {
        return None;
    }
    let share = demand::settle_loosely(1.0, MOST, margin)?;
    let reach = case.line.reaches.at(station_m)?;
    Some(reach.pipe.inner_diameter_m * share)
}

/// Least gauge head over what it may be, from the intake to the governing station, m.
fn tightest(case: &CaseModel<'_>, conduit: &Conduit, flow_m3_per_s: f64, governs: usize) -> f64 {
    let slope = super::limit::FlowProfile {
        conduit,
        ..case.slope(0.0)
    };
    let profile = conduit.profile(flow_m3_per_s, &case.stations_m);
    slope
        .gauge_m(&profile, case.level_m)
        .iter()
        .zip(&case.working_m)
        .take(governs + 1)
        .map(|(g, w)| g - w)
        .fold(f64::INFINITY, f64::min)
}
