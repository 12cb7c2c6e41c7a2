//! Where suction presses on the pipe or pulls at its joints.

use super::Load;
use super::field::{StateField, share};
use super::result::{GoverningState, JointSuction, OutsideLow, ReachStrength};
use crate::capacity::{EMPTY, Setting, free_ring, full_vacuum_pa, joint_suction_pa, ring};
use crate::line::{Environment, Geometry, Line, Reach, Wishes};
use crate::pipe::Pipe;

pub(super) fn outside(
    reach: &Reach,
    field: &StateField<'_>,
    stations: &[f64],
    out: &mut ReachStrength,
) {
    let environment = field.environment;
    let vacuum = full_vacuum_pa(environment);
    for load in field.loads {
        for setting in field.settings(load.kind()) {
            for &s in stations {
                if setting.in_sun && !environment.lies_open(s) {
                    continue;
                }
                let least = field.at(&load.least_pa, s);
                let pull = (-least).min(vacuum);
                let pull_low = (field.doubt_below_pa(load, s) - least).min(vacuum);
                if pull_low <= 0.0 {
                    continue;
                }
                let stands = ring(environment, reach, setting, s);
                let used = share(pull, stands.allowed_pa);
                let used_low = share(pull_low, stands.allowed_pa);
                if out.outside_low.as_ref().is_none_or(|o| used_low > o.share) {
                    out.outside_low = Some(OutsideLow {
                        share: used_low,
                        share_mean: used,
                        station_m: s,
                        cause: GoverningState::of(load, setting.in_sun),
                        pull_pa: pull_low,
                        collapse_pa: stands.collapse_pa,
                    });
                }
                if used > out.outside_use {
                    out.outside_use = used;
                    out.pull_pa = pull;
                    out.collapse_pa = stands.collapse_pa;
                    out.held_by_ground = stands.held;
                    out.outside = Some((s, GoverningState::of(load, setting.in_sun)));
                }
            }
        }
    }
}

/// Whether a full vacuum would press the free ring of a reach flat, safety counted.
fn flattens(geometry: &Geometry, environment: &Environment, reach: &Reach) -> bool {
    let open = geometry
        .heights
        .station_m
        .iter()
        .any(|&s| s >= reach.from_m && s <= reach.to_m && environment.lies_open(s));
    let setting = Setting {
        in_sun: environment.situation.sun && open,
        ..EMPTY
    };
    free_ring(environment, reach, setting).allowed_pa < full_vacuum_pa(environment)
}

/// Whether another pipe from station to station would live by vents where the declared one does not.
pub fn would_need_air(line: &Line, (from_m, to_m): (f64, f64), pipe: &Pipe) -> bool {
    line.reaches
        .iter()
        .filter(|r| r.pipe.is_sized() && r.from_m < to_m - 1e-6 && r.to_m > from_m + 1e-6)
        .any(|r| {
            let other = Reach {
                pipe: pipe.clone(),
                ..r.clone()
            };
            flattens(&line.geometry, &line.environment, &other)
                && !flattens(&line.geometry, &line.environment, r)
        })
}

/// Where the free ring would not live through a day of full vacuum at its factor of safety, hot in the sun where it lies open.
pub(super) fn needs_air(line: &Line) -> Vec<(f64, f64)> {
    let mut out: Vec<(f64, f64)> = Vec::new();
    for reach in line.reaches.iter().filter(|r| r.pipe.is_sized()) {
        if !flattens(&line.geometry, &line.environment, reach) {
            continue;
        }
        match out.last_mut() {
            Some(last) if (last.1 - reach.from_m).abs() < 1e-6 => last.1 = reach.to_m,
            _ => out.push((reach.from_m, reach.to_m)),
        }
    }
    out
}

/// Whether there is pipe that a full vacuum would press flat.
pub fn needs_air_somewhere(line: &Line) -> bool {
    !needs_air(line).is_empty()
}

/// What suction in a state takes of what the pipe stands from outside, at each station of the grid: over 1 it is pressed flat, safety counted.
///
/// The wall is as warm as the water, and where it lies open to the sun and the state stands still as warm as that makes it; the ground counts where it may.
pub fn collapse_utilisation(line: &Line, load: &Load) -> Vec<f64> {
    let vacuum = full_vacuum_pa(&line.environment);
    let hot = line.environment.situation.sun && load.kind().stands_still();
    line.geometry
        .heights
        .station_m
        .iter()
        .zip(&load.least_pa)
        .map(|(&s, least)| {
            let pull = (-least).min(vacuum);
            if pull <= 0.0 {
                return 0.0;
            }
            let setting = Setting {
                kind: load.kind(),
                in_sun: hot && line.environment.lies_open(s),
            };
            line.reaches
                .iter()
                .filter(|r| r.pipe.is_sized() && s >= r.from_m && s <= r.to_m)
                .map(|r| share(pull, ring(&line.environment, r, setting, s).allowed_pa))
                .fold(0.0, f64::max)
        })
        .collect()
}

pub(super) fn joint_suction(
    wishes: &Wishes,
    reach: &Reach,
    field: &StateField<'_>,
) -> Vec<JointSuction> {
    let Some((limit_pa, own_limit)) = joint_suction_pa(wishes, field.environment, reach) else {
        return Vec::new();
    };
    let vacuum = full_vacuum_pa(field.environment);
    let mut out: Vec<JointSuction> = Vec::new();
    let mut open = false;
    for s in field.stations(reach) {
        let Some(worst) = lowest(field, s, limit_pa, vacuum).filter(|w| w.low_pa < limit_pa) else {
            open = false;
            continue;
        };
        let settled = worst.mean_pa < limit_pa;
        let here = JointSuction {
            from_m: s,
            to_m: s,
            joint: reach.joint,
            least_pa: worst.mean_pa,
            least_low_pa: worst.low_pa,
            settled,
            station_m: s,
            limit_pa,
            cause: GoverningState::of(worst.load, false),
            own_limit,
        };
        match out.last_mut().filter(|_| open) {
            // what is certain is told by its own reach; the doubtful fringes on both sides of it say nothing more
            Some(last) if settled && !last.settled => *last = here,
            Some(last) if !settled && last.settled => {}
            Some(last) => {
                let from_m = last.from_m;
                last.to_m = s;
                if worst.mean_pa < last.least_pa {
                    *last = JointSuction { from_m, ..here };
                }
            }
            None => out.push(here),
        }
        open = true;
    }
    out
}

/// The state that pulls most at a station.
#[derive(Clone, Copy)]
struct LowestState<'a> {
    load: &'a Load,
    mean_pa: f64,
    low_pa: f64,
}

/// The lowest at the mean heights where that is beyond the limit, else the lowest with the doubt counted.
fn lowest<'a>(
    field: &StateField<'a>,
    station_m: f64,
    limit_pa: f64,
    vacuum_pa: f64,
) -> Option<LowestState<'a>> {
    let all = field.loads.iter().map(|load| {
        let least = field.at(&load.least_pa, station_m);
        let low = least - field.doubt_below_pa(load, station_m);
        LowestState {
            load,
            mean_pa: least.max(-vacuum_pa),
            low_pa: low.max(-vacuum_pa),
        }
    });
    let (by_mean, by_low) = all.fold(
        (None::<LowestState<'a>>, None::<LowestState<'a>>),
        |(m, l), here| {
            let lower = l.as_ref().is_none_or(|l| here.low_pa < l.low_pa);
            let l = if lower { Some(here) } else { l };
            let sure =
                here.mean_pa < limit_pa && m.as_ref().is_none_or(|m| here.mean_pa < m.mean_pa);
            (if sure { Some(here) } else { m }, l)
        },
    );
    by_mean.or(by_low)
}
