use super::align::align;
use super::alignment::{AlignOptions, Apart};
use super::moved::{Moved, told};
use super::off_line::off_line;
use super::parts::{
    CaseChange, ClimbChange, Climbing, Compared, NewLow, OffLine, StrengthChange, Sucked, Tight,
};
use super::urgent_action::{cheapest, tonight};
use crate::laying::BendMethod;
use crate::numeric::math;
use crate::numeric::series::interpolate;
use crate::pipe::RunState;
use crate::profile::{Climb, ClimbVerdict as Sure};
use crate::regrade::{RegradePlan, plans};
use crate::study::Study;
use crate::{air, flow};

/// Holds two studies of one pipe against each other: `after` is the study of the line as it lies now (see `laid_on`), `resurvey` the later survey itself.
///
/// # Errors
/// Where the two surveys cannot be brought together.
pub fn compared(
    before: &Study,
    after: &Study,
    resurvey: &crate::route::Route,
    options: &AlignOptions,
) -> Result<Compared, Apart> {
    let alignment = align(&before.route, resurvey, options)?;
    let (moved, sight) = told(&before.route, resurvey, &alignment);
    let climbs = climbs(&before.profile.climbs, &after.profile.climbs);
    let regrade = if climbs.iter().any(|c| c.after.is_some()) {
        plans(&after.line)
    } else {
        Vec::new()
    };
    let off = off_line(after, &moved, |climb| {
        climbs
            .iter()
            .any(|c| c.climbs_now() && c.after.as_ref() == Some(climb))
    });
    let mut compared = Compared {
        start: before
            .air
            .as_ref()
            .zip(after.air.as_ref())
            .map(|(a, b)| (a.start.verdict, b.start.verdict)),
        start_margin_m: before
            .air
            .as_ref()
            .zip(after.air.as_ref())
            .map(|(a, b)| (a.start.margin_compressed_m, b.start.margin_compressed_m)),
        pockets_m3: (pockets(before), pockets(after)),
        cases: cases(before, after),
        sucked: sucked(before, after),
        pressed: pressed(before, after),
        lows: lows(before, after, &climbs),
        tight: tight(before, after),
        off_line: left_off(before, &off),
        bare_m: off.iter().filter_map(crest_of).collect(),
        level_first_m: level_first(before, after, &moved, &climbs, &regrade),
        climbs,
        regrade,
        tonight: Vec::new(),
        alignment,
        moved,
        sight,
    };
    compared.tonight = tonight(after, &compared);
    Ok(compared)
}

/// Climbs paired where their reaches overlap. One that was in doubt before, by no more than its own doubt, and is not found now is no change: it comes and goes with the survey.
fn climbs(before: &[Climb], after: &[Climb]) -> Vec<ClimbChange> {
    let meets = |a: &Climb, b: &Climb| {
        a.low_station_m <= b.end_station_m && b.low_station_m <= a.end_station_m
    };
    let mut paired = vec![false; after.len()];
    let mut out: Vec<ClimbChange> = before
        .iter()
        .filter_map(|a| {
            let found = after
                .iter()
                .enumerate()
                .find(|(i, b)| paired.get(*i) == Some(&false) && meets(a, b));
            let Some((i, b)) = found else {
                let was = a.verdict == Sure::Climbs || a.rise_m > 2.0 * a.rise_sd_m;
                return was.then(|| ClimbChange {
                    what: Climbing::Cured,
                    before: Some(a.clone()),
                    after: None,
                });
            };
            if let Some(slot) = paired.get_mut(i) {
                *slot = true;
            }
            let sd = math::hypot(a.rise_sd_m, b.rise_sd_m).max(0.005);
            let grown = b.rise_m - a.rise_m;
            let what = match grown {
                g if g > 2.0 * sd => Climbing::Worse,
                g if g < -2.0 * sd => Climbing::Better,
                _ => Climbing::Same,
            };
            Some(ClimbChange {
                what,
                before: Some(a.clone()),
                after: Some(b.clone()),
            })
        })
        .collect();
    for (b, _) in after.iter().zip(&paired).filter(|(_, paired)| !**paired) {
        out.push(ClimbChange {
            what: Climbing::New,
            before: None,
            after: Some(b.clone()),
        });
    }
    let at = |c: &ClimbChange| {
        c.after
            .as_ref()
            .or(c.before.as_ref())
            .map_or(0.0, |c| c.low_station_m)
    };
    out.sort_by(|a, b| at(a).total_cmp(&at(b)));
    out
}

/// Air that is more likely than not to stand in pockets that nothing vents by itself, m3.
fn pockets(study: &Study) -> f64 {
    study.air.as_ref().map_or(0.0, |air| {
        air.pockets
            .iter()
            .filter(|p| p.certainty >= 0.5 && p.vented_by.is_empty())
            .map(|p| p.at_rest.volume_m3)
            .sum()
    })
}

fn cases(before: &Study, after: &Study) -> Vec<CaseChange> {
    let share = |study: &Study, state: &RunState| {
        study
            .air
            .as_ref()
            .and_then(|a| a.left_in.iter().find(|l| l.case == *state))
            .map(|l| l.power_share_compressed)
    };
    before
        .cases
        .runs
        .iter()
        .filter_map(|a| {
            let b = after.cases.of(a.state())?;
            let with_air = match (share(before, a.state()), share(after, a.state())) {
                (None, None) => None,
                (a, b) => Some((a.unwrap_or(1.0), b.unwrap_or(1.0))),
            };
            (a.flows() || b.flows()).then(|| CaseChange {
                state: a.state().clone(),
                flow_m3_per_s: (a.flow_m3_per_s, b.flow_m3_per_s),
                power_w: (a.water_power_w, b.water_power_w),
                power_sd_w: math::hypot(a.water_power_sd_w, b.water_power_sd_w),
                with_air,
                newly_limited: a.limited.is_none() && b.limited.is_some(),
            })
        })
        .collect()
}

/// Deeper than this counts as deeper, Pa (two decimetres of water).
const DEEPER_PA: f64 = 2_000.0;

/// The lowest of the places where a running state is newly or deeper in suction than before.
fn sucked(before: &Study, after: &Study) -> Vec<Sucked> {
    let lowest = |case: &flow::Run, earlier: &flow::Run| {
        let (stations, pressures): (Vec<f64>, Vec<f64>) = earlier
            .points
            .iter()
            .map(|p| (p.station_m, p.pressure_pa))
            .unzip();
        if stations.is_empty() {
            return None;
        }
        case.points
            .iter()
            .map(|p| (p, interpolate(&stations, &pressures, p.station_m)))
            .filter(|(p, was_pa)| {
                let is_new = *was_pa >= 0.0 || p.pressure_pa < was_pa - DEEPER_PA;
                p.pressure_pa < -DEEPER_PA && is_new
            })
            .min_by(|(a, _), (b, _)| a.pressure_pa.total_cmp(&b.pressure_pa))
            .map(|(p, before_pa)| Sucked {
                case: case.state().clone(),
                station_m: p.station_m,
                before_pa,
                after_pa: p.pressure_pa,
            })
    };
    let runs = after.cases.runs.iter().filter(|r| r.flows());
    runs.filter_map(|b| {
        let a = before.cases.of(b.state())?;
        lowest(b, a)
    })
    .collect()
}

fn pressed(before: &Study, after: &Study) -> Vec<StrengthChange> {
    let (Some(a), Some(b)) = (&before.strength, &after.strength) else {
        return Vec::new();
    };
    a.reaches
        .iter()
        .zip(&b.reaches)
        .map(|(a, b)| StrengthChange {
            from_m: b.from_m,
            to_m: b.to_m,
            spec: b.spec.clone(),
            use_high: (a.use_high, b.use_high),
            outside_use: (a.outside_use, b.outside_use),
        })
        .collect()
}

/// The lows of climbs that are new or worse: there the pipe stands under more water than before.
fn lows(before: &Study, after: &Study, climbs: &[ClimbChange]) -> Vec<NewLow> {
    let standing = |study: &Study, station_m: f64| {
        let run = study.cases.shut()?;
        let (s, p): (Vec<f64>, Vec<f64>) = run
            .points
            .iter()
            .map(|p| (p.station_m, p.pressure_pa))
            .unzip();
        (!s.is_empty()).then(|| interpolate(&s, &p, station_m))
    };
    let grid = &after.line.geometry.heights.station_m;
    climbs
        .iter()
        .filter(|c| matches!(c.what, Climbing::New | Climbing::Worse))
        .filter_map(|c| {
            let station_m = c.after.as_ref()?.low_station_m;
            let at = grid.partition_point(|s| *s < station_m - 1e-6);
            let of = |list: &[Option<f64>]| list.get(at).copied().flatten();
            let strength = after.strength.as_ref();
            Some(NewLow {
                station_m,
                standing_pa: (standing(before, station_m)?, standing(after, station_m)?),
                allowed_pa: strength.and_then(|s| of(&s.allowed_pa)),
                use_high: strength.and_then(|s| of(&s.use_high)),
            })
        })
        .collect()
}

/// Bends that need an elbow or cannot be told, and had a way round before.
fn tight(before: &Study, after: &Study) -> Vec<Tight> {
    let checks = |s: &Study| {
        s.laying
            .as_ref()
            .map(|l| l.bends.clone())
            .unwrap_or_default()
    };
    let hard = |way: BendMethod| matches!(way, BendMethod::Elbow(_) | BendMethod::CannotTell);
    let old = checks(before);
    checks(after)
        .into_iter()
        .filter(|b| hard(b.way))
        .filter(|b| {
            !old.iter().any(|a| {
                (a.station_m - b.station_m).abs() < 4.0
                    && hard(a.way)
                    && a.angle_rad >= 0.8 * b.angle_rad
            })
        })
        .map(|b| Tight {
            station_m: b.station_m,
            angle_rad: b.angle_rad,
            least_radius_m: b.least_radius_m,
            cannot_tell: b.way == BendMethod::CannotTell,
        })
        .collect()
}

/// The crest that something left.
fn crest_of(off: &OffLine) -> Option<f64> {
    match *off {
        OffLine::Unvented { crest_m } | OffLine::NotAtCrest { crest_m, .. } => Some(crest_m),
        OffLine::PipeMoved { .. } => None,
    }
}

/// What no longer stands where it should: a crest that was as bare of vents before is no change.
fn left_off(before: &Study, off: &[OffLine]) -> Vec<OffLine> {
    /// A crest is the same within this, m: its place is as doubtful as the heights round it.
    const SAME_M: f64 = 10.0;
    let old: Vec<f64> = off_line(before, &[], |c| c.verdict == Sure::Climbs)
        .iter()
        .filter_map(crest_of)
        .collect();
    let is_new = |m: f64| !old.iter().any(|was| (was - m).abs() <= SAME_M);
    off.iter()
        .copied()
        .filter(|o| crest_of(o).is_none_or(is_new))
        .collect()
}

/// Reaches to level before digging or blaming: those that may have moved, that may climb more than before, that decide a start which was settled, or would be dug and propped with no certainty that they fall then.
fn level_first(
    before: &Study,
    after: &Study,
    moved: &[Moved],
    climbs: &[ClimbChange],
    plans: &[RegradePlan],
) -> Vec<(f64, f64)> {
    let worse = || {
        climbs
            .iter()
            .filter(|c| matches!(c.what, Climbing::New | Climbing::Worse))
            .filter_map(|c| c.after.as_ref())
    };
    let unsettled = |s: &Study| {
        s.air
            .as_ref()
            .is_some_and(|a| a.start.verdict == air::StartVerdict::CannotTell)
    };
    let mut out: Vec<(f64, f64)> = moved
        .iter()
        .filter(|m| m.verdict == super::MovedVerdict::CannotTell)
        .map(|m| (m.from_m, m.to_m))
        .chain(
            worse()
                .filter(|c| c.verdict == Sure::CannotTell)
                .map(|c| (c.reach_from_m, c.reach_to_m)),
        )
        .chain(
            after
                .air
                .iter()
                .filter(|_| unsettled(after) && (!unsettled(before) || worse().next().is_some()))
                .flat_map(|a| a.start.to_level_m(&after.profile.climbs)),
        )
        .chain(
            plans
                .get(cheapest(plans).unwrap_or(0))
                .filter(|_| worse().next().is_some())
                .into_iter()
                .flat_map(unsure),
        )
        .map(|(a, b)| {
            (
                (a - 5.0).max(0.0),
                (b + 5.0).min(after.line.geometry.length_m()),
            )
        })
        .collect();
    out.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut merged: Vec<(f64, f64)> = Vec::new();
    for (from, to) in out {
        match merged.last_mut() {
            Some(last) if from <= last.1 => last.1 = last.1.max(to),
            _ => merged.push((from, to)),
        }
    }
    merged
}

/// Reaches of a plan that no extra makes nine in ten sure to fall: from the first to the last of the stakes that stand together.
fn unsure(plan: &RegradePlan) -> Vec<(f64, f64)> {
    /// Stakes further apart than this are of two reaches, m.
    const APART_M: f64 = 15.0;
    let mut out: Vec<(f64, f64)> = Vec::new();
    if plan.is_sure() {
        return out;
    }
    for stake in &plan.stakes {
        match out.last_mut() {
            Some(last) if stake.station_m - last.1 < APART_M => last.1 = stake.station_m,
            _ => out.push((stake.station_m, stake.station_m)),
        }
    }
    out
}
