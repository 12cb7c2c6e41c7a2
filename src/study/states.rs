//! The pressures of every state that was worked out: what strength and anchor judge.

use super::drained::drained;
use crate::air::{Act, Air};
use crate::anchor::{self, Anchor};
use crate::capacity::{Which, full_vacuum_pa};
use crate::flow::{AirLeg, Cases};
use crate::line::{Environment, Geometry, Line};
use crate::profile::Profile;
use crate::strength::{self, Load, LoadKind};
use crate::surge::{self, Surge, Surges};

/// Every state but the standing one, which strength adds by itself: running, movements, filling, the pressure test of the order of work, and the line that drains in each way it can.
pub(crate) fn loads(
    line: &Line,
    cases: &Cases,
    surges: Option<&Surges>,
    air: Option<&Air>,
) -> Vec<Load> {
    let mut loads: Vec<Load> = cases
        .runs
        .iter()
        .filter(|r| r.flows())
        .map(|run| Load {
            which: Which::Running(run.state().clone()),
            largest_pa: run
                .points
                .iter()
                .map(|p| p.pressure_pa.max(p.pressure_below_pa))
                .collect(),
            least_pa: run
                .points
                .iter()
                .map(|p| p.pressure_pa.min(p.pressure_below_pa))
                .collect(),
            least_sd_m: Vec::new(),
            parts: false,
        })
        .collect();
    loads.extend(
        surges
            .iter()
            .flat_map(|s| s.placed())
            .map(|(run, s)| moving(&line.environment, run, s)),
    );
    if surges.is_some() {
        loads.extend(filling(line));
    }
    loads.extend(
        air.and_then(tested_pa)
            .map(|end_pa| tested(&line.geometry, &line.environment, end_pa)),
    );
    loads.extend(drained(line));
    loads
}

fn moving(environment: &Environment, run: usize, surge: &Surge) -> Load {
    // Where the water parts the pressure is the vapour's: nothing lower exists. What it crushes is asked for, so the air is the thickest.
    let floor = -full_vacuum_pa(environment);
    Load {
        which: Which::Movement {
            run,
            often: surge.often,
            name: surge.movement.clone(),
        },
        largest_pa: surge.points.iter().map(|p| p.pressure_max_pa).collect(),
        least_pa: surge
            .points
            .iter()
            .map(|p| p.pressure_min_pa.unwrap_or(floor))
            .collect(),
        least_sd_m: Vec::new(),
        parts: surge.vapour.is_some(),
    }
}

/// The line just filled, its last water stopped at once at the speed of filling: what stands, and the blow on top.
///
/// The blow runs up the whole line before the intake sends it back, so it is counted at every station that lies under the water.
fn filling(line: &Line) -> Option<Load> {
    let slam = surge::filling(line)?;
    let weight = line.environment.water_n_per_m3();
    let largest_pa = line
        .geometry
        .heights
        .mean_m
        .iter()
        .map(|z| match line.intake.level_m - z {
            under if under > 0.0 => weight * (under + slam.rise_m),
            _ => 0.0,
        })
        .collect();
    Some(Load {
        which: Which::Filling,
        largest_pa,
        least_pa: vec![0.0; line.geometry.heights.station_m.len()],
        least_sd_m: Vec::new(),
        parts: false,
    })
}

/// Test pressure over the standing one, where the pipe may take it (common practice, no source).
const TEST_OVER_STANDING: f64 = 1.5;

/// The test pressure is rounded down to this, Pa: what can be read off a gauge.
const TEST_STEP_PA: f64 = 10_000.0;

/// The pressure at the lower end that the line is to be tested with, Pa: one and a half of what stands there, and nowhere more than the weakest of pipe, joint and fitting may take,
/// warmth, age and the doubt of the head counted. `None` where that leaves nothing over the standing pressure, or no rating is known.
pub(crate) fn test_pa(line: &Line) -> Option<f64> {
    let weight = line.environment.water_n_per_m3();
    let end_m = line.geometry.end_elevation_m();
    let standing = (line.intake.level_m - end_m) * weight;
    if standing <= 0.0 || line.reaches.iter().any(|r| r.pipe.rating_pa.is_none()) {
        return None;
    }
    let most = strength::limits(line)
        .lasting_pa
        .iter()
        .zip(&line.geometry.heights.mean_m)
        .map(|(may, z)| may + (z - end_m) * weight)
        .fold(TEST_OVER_STANDING * standing, f64::min);
    let pressure = (most / TEST_STEP_PA).floor() * TEST_STEP_PA;
    (pressure > standing).then_some(pressure)
}

/// The pressure that the order of work tests the lower end with, Pa.
pub(super) fn tested_pa(air: &Air) -> Option<f64> {
    air.work.iter().find_map(|step| match step.act {
        Act::HoldTest { pressure_pa, .. } => Some(pressure_pa),
        _ => None,
    })
}

/// The whole line under test: still water, the pump at its lower end.
fn tested(geometry: &Geometry, environment: &Environment, end_pa: f64) -> Load {
    let weight = environment.water_n_per_m3();
    let end_m = geometry.end_elevation_m();
    Load::steady(
        Which::Test,
        geometry
            .heights
            .mean_m
            .iter()
            .map(|z| end_pa - weight * (z - end_m))
            .collect(),
    )
}

/// Where air may stand and take pressure off a gauge: the legs that a filling leaves air in, the last one too; and climbs that do not seal by the mean heights, each with its rise.
pub fn air_legs(profile: &Profile, air: Option<&Air>) -> Vec<AirLeg> {
    let Some(air) = air else {
        return Vec::new();
    };
    let mut legs: Vec<AirLeg> = air
        .shut_fill_alone
        .pockets
        .iter()
        .map(|p| AirLeg {
            crest_m: p.station_m,
            filled_m: p.held.height_m,
            full_m: p.fall_m,
        })
        .collect();
    let more = profile.climbs.iter().enumerate().filter(|(i, c)| {
        let vented = air
            .pockets
            .iter()
            .any(|p| p.climb == Some(*i) && !p.vented_by.is_empty());
        let seals = |l: &AirLeg| (c.low_station_m..=c.end_station_m).contains(&l.crest_m);
        !vented && !legs.iter().any(seals) && c.rise_m > 0.0
    });
    let more: Vec<AirLeg> = more
        .map(|(_, c)| AirLeg {
            crest_m: c.crest_station_m,
            filled_m: c.rise_m,
            full_m: c.rise_m,
        })
        .collect();
    legs.extend(more);
    legs.sort_by(|a, b| a.crest_m.total_cmp(&b.crest_m));
    legs
}

/// What holds the line, at the largest pressure of any state in service and of the test, each station with the state that makes it.
/// The largest pressure at each station over all states, the test counted, Pa.
pub(super) fn largest_pa(line: &Line, loads: &[Load]) -> Vec<f64> {
    let mut most = Load::standing(line).largest_pa;
    for load in loads {
        for (most, pa) in most.iter_mut().zip(&load.largest_pa) {
            *most = most.max(*pa);
        }
    }
    most
}

pub(super) fn held(line: &Line, cases: &Cases, loads: &[Load]) -> Anchor {
    let standing = Load::standing(line);
    let mut largest_pa = standing.largest_pa.clone();
    let mut by = vec![standing.which.clone(); largest_pa.len()];
    for load in loads.iter().filter(|l| l.kind() != LoadKind::Test) {
        for ((most, which), pa) in largest_pa.iter_mut().zip(&mut by).zip(&load.largest_pa) {
            if *pa > *most {
                *most = *pa;
                which.clone_from(&load.which);
            }
        }
    }
    let parting = loads
        .iter()
        .filter(|l| l.parts)
        .map(|l| l.which.clone())
        .collect();
    anchor::judge(
        line,
        &anchor::Loads {
            largest_pa,
            by,
            parting,
            test_pa: loads
                .iter()
                .find(|l| l.kind() == LoadKind::Test)
                .map_or_else(Vec::new, |l| l.largest_pa.clone()),
            standing_pa: standing.largest_pa,
            flow_m3_per_s: cases.largest_flow().map_or(0.0, |r| r.flow_m3_per_s),
        },
    )
}
