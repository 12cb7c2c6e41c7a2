//! What is asked of a vent: air out, air in, each with its own bore; and where an open one would draw air in.

use super::Passes;
use super::asked::{Guard, Needs};
use super::design::Design;
use super::gather::steepest_rad;
use super::orifice::{Across, FILLING_PA, Running, VACUUM_PA, burst_m3_per_s, smooth_m3_per_s};
use crate::capacity::{emptying_pa, full_vacuum_pa};
use crate::flow::Run;
use crate::flow::suction::counts_where_it_stands;
use crate::line::{AirFor, Line};
use crate::numeric::math;
use crate::pipe::RunState;
use crate::unit::physics::water;

impl Design<'_> {
    /// Out: the filling. In: the larger of draining and a burst below, within what the pipe below may take.
    pub(super) fn needs(&self, station_m: f64) -> Needs {
        let line = self.line;
        let air_pa = line.situation.air_pa(AirFor::Passing);
        let filling = self.filling.flow_m3_per_s;
        let running = self
            .runs
            .iter()
            .map(|r| r.flow_m3_per_s)
            .fold(0.0, f64::max);
        let drained = running.max(burst_below_m3_per_s(line, station_m));
        let vacuum_pa = guard(line, station_m)
            .vacuum_pa
            .clamp(LEAST_VACUUM_PA, VACUUM_PA);
        Needs {
            out: Passes {
                flow_m3_per_s: filling,
                across_pa: FILLING_PA,
                bore_m: Across::outward(air_pa, FILLING_PA).bore_for_m(filling),
            },
            inward: Passes {
                flow_m3_per_s: drained,
                across_pa: vacuum_pa,
                bore_m: Across::inward(air_pa, vacuum_pa).bore_for_m(drained),
            },
            inhales: inhales(line, self.runs, station_m),
        }
    }
}

/// Vents are not sized for less than this, Pa (own caution): pipe that cannot take it is not saved by a vent, and strength says so.
const LEAST_VACUUM_PA: f64 = 1_000.0;

/// Suction below a station: the pipe empties there with no air let in; judged down to the next low, where the water seals it.
pub(super) fn guard(line: &Line, station_m: f64) -> Guard {
    let weight = super::course::weight_n_per_m3(line);
    let full_pa = full_vacuum_pa(line);
    let lowest_m = line.next_low_m(station_m);
    let bottom_m = line.elevation_m(lowest_m);
    let inside = line.heights.station_m.iter().copied();
    std::iter::once(station_m)
        .chain(inside.filter(|s| *s > station_m && *s < lowest_m))
        .filter_map(|s| {
            let reach = line.reach_at(s).filter(|r| r.pipe.wall_m > 0.0)?;
            let vacuum_pa = emptying_pa(line, reach, s);
            let hangs_pa = (line.elevation_m(s) - bottom_m).max(0.0) * weight;
            Some(Guard {
                vacuum_pa,
                needs_air: vacuum_pa < hangs_pa.min(full_pa),
            })
        })
        .reduce(|a, b| Guard {
            vacuum_pa: a.vacuum_pa.min(b.vacuum_pa),
            needs_air: a.needs_air || b.needs_air,
        })
        .unwrap_or(Guard {
            vacuum_pa: full_pa,
            needs_air: false,
        })
}

/// Water that a burst below a station lets out, m3/s: the pipe of the steepest stretch below it, full at its own slope.
fn burst_below_m3_per_s(line: &Line, station_m: f64) -> f64 {
    let cold = water(line.water.usual_c);
    line.reaches
        .iter()
        .filter(|r| r.to_m > station_m)
        .map(|r| {
            let fall = math::sin(steepest_rad(line, r.from_m.max(station_m), r.to_m));
            let bore_m = r.pipe.inner_diameter_m;
            burst_m3_per_s(bore_m, fall).max(smooth_m3_per_s(Running {
                bore_m,
                fall,
                roughness_m: r.pipe.roughness_m,
                viscosity_m2_per_s: cold.kinematic_viscosity_m2_per_s(),
                gravity_m_per_s2: line.situation.gravity_m_per_s2,
            }))
        })
        .fold(0.0, f64::max)
}

/// Cases in which an open vent at a station would draw air in: the grade line stands below the pipe, or the pipe runs part-full there.
pub(super) fn inhales(line: &Line, runs: &[Run], station_m: f64) -> Vec<RunState> {
    let stations = &line.heights.station_m;
    runs.iter()
        .filter(|r| r.flows())
        .filter(|run| {
            let pressures: Vec<f64> = run.points.iter().map(|p| p.pressure_pa).collect();
            let below = run
                .points
                .iter()
                .rfind(|p| p.station_m <= station_m)
                .is_some_and(|p| p.part_full);
            let sucks = crate::route::interpolate(stations, &pressures, station_m) < -1.0;
            below || (sucks && counts_where_it_stands(line, station_m))
        })
        .map(|r| r.state().clone())
        .collect()
}

/// Whether an open vent at a station would draw air in while some state runs.
pub fn draws_air(line: &Line, runs: &[Run], station_m: f64) -> bool {
    !inhales(line, runs, station_m).is_empty()
}

impl Line {
    /// The next low below a station, m: where the pipe has fallen to before it climbs by more than half its bore again.
    fn next_low_m(&self, station_m: f64) -> f64 {
        let half_bore_m = self
            .reach_at(station_m)
            .map_or(0.0, |r| 0.5 * r.pipe.inner_diameter_m);
        let mut low = (station_m, self.elevation_m(station_m));
        for (s, z) in self.heights.station_m.iter().zip(&self.heights.mean_m) {
            if *s <= station_m {
                continue;
            }
            if *z > low.1 + half_bore_m {
                break;
            }
            if *z <= low.1 {
                low = (*s, *z);
            }
        }
        low.0
    }
}
