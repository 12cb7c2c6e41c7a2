//! What is asked of a vent: air out, air in, each with its own bore; and where an open one would draw air in.

use super::design::Design;
use super::gather::steepest_rad;
use super::orifice::{Across, FILLING_PA, FullPipe, VACUUM_PA, burst_m3_per_s, smooth_m3_per_s};
use super::{VentFlow, VentWhy};
use crate::capacity::{emptying_pa, full_vacuum_pa};
use crate::flow::Run;
use crate::flow::suction::counts_where_it_stands;
use crate::heights::Heights;
use crate::line::{AirFor, Geometry, Inlet, Line};
use crate::numeric::math;
use crate::pipe::RunState;
use crate::unit::physics::water;

/// What is asked of a place.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct AirDemand {
    /// Air out.
    pub(super) out: bool,
    /// Air out with nobody there.
    pub(super) alone: bool,
    /// Air in, by itself.
    pub(super) inward: bool,
}

impl AirDemand {
    /// What a reason asks for.
    pub(super) fn by(why: VentWhy) -> Self {
        match why {
            VentWhy::BelowHeadValve | VentWhy::BelowValve | VentWhy::Collapse => Self {
                inward: true,
                ..Self::default()
            },
            VentWhy::Start | VentWhy::Priming => Self {
                out: true,
                ..Self::default()
            },
            VentWhy::StartUnattended | VentWhy::Running | VentWhy::LongRun | VentWhy::Doubtful => {
                Self {
                    out: true,
                    alone: true,
                    ..Self::default()
                }
            }
            VentWhy::Stands => Self::default(),
        }
    }

    /// Both together.
    pub(super) fn and(self, other: Self) -> Self {
        Self {
            out: self.out || other.out,
            alone: self.alone || other.alone,
            inward: self.inward || other.inward,
        }
    }
}

/// What each way needs at a place.
pub(super) struct Needs {
    pub(super) out: VentFlow,
    pub(super) inward: VentFlow,
    /// States in which an open vent would draw air in.
    pub(super) inhales: Vec<RunState>,
}

impl Needs {
    /// Least bore for all that is asked, m; nothing where nothing is.
    pub(super) fn bore_m(&self, asked: AirDemand) -> f64 {
        let each = [(asked.out, self.out), (asked.inward, self.inward)];
        each.into_iter()
            .filter(|(asked, _)| *asked)
            .map(|(_, passes)| passes.bore_m)
            .fold(0.0, f64::max)
    }
}

impl Design<'_> {
    /// Out: the filling. In: the larger of draining and a burst below, within what the pipe below may take.
    pub(super) fn needs(&self, station_m: f64) -> Needs {
        let line = self.line;
        let air_pa = line.environment.situation.air_pa(AirFor::Passing);
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
            out: VentFlow {
                flow_m3_per_s: filling,
                across_pa: FILLING_PA,
                bore_m: Across::outward(air_pa, FILLING_PA).bore_for_m(filling),
            },
            inward: VentFlow {
                flow_m3_per_s: drained,
                across_pa: vacuum_pa,
                bore_m: Across::inward(air_pa, vacuum_pa).bore_for_m(drained),
            },
            inhales: inhales(&line.geometry, &line.intake, self.runs, station_m),
        }
    }
}

/// Vents are not sized for less than this, Pa (own caution): pipe that cannot take it is not saved by a vent, and strength says so.
const LEAST_VACUUM_PA: f64 = 1_000.0;

/// What the pipe below a station stands of suction while it empties from there.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Guard {
    /// Vacuum that may be let come, Pa: what the weakest pipe and joint down to the next low may take.
    pub(super) vacuum_pa: f64,
    /// The deepest vacuum that draining can make on the way is more than that there.
    pub(super) needs_air: bool,
}

/// Suction below a station: the pipe empties there with no air let in; judged down to the next low, where the water seals it.
pub(super) fn guard(line: &Line, station_m: f64) -> Guard {
    let weight = line.environment.water_n_per_m3();
    let full_pa = full_vacuum_pa(&line.environment);
    let lowest_m = next_low_m(
        &line.geometry.heights,
        line.reaches.bore_m(station_m),
        station_m,
    );
    let bottom_m = line.geometry.elevation_m(lowest_m);
    let inside = line.geometry.heights.station_m.iter().copied();
    std::iter::once(station_m)
        .chain(inside.filter(|s| *s > station_m && *s < lowest_m))
        .filter_map(|s| {
            let reach = line.reaches.at(s).filter(|r| r.pipe.is_sized())?;
            let vacuum_pa = emptying_pa(&line.wishes, &line.environment, reach, s);
            let hangs_pa = (line.geometry.elevation_m(s) - bottom_m).max(0.0) * weight;
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
    let cold = water(line.environment.water.usual_c);
    line.reaches
        .iter()
        .filter(|r| r.to_m > station_m)
        .map(|r| {
            let fall = math::sin(steepest_rad(
                &line.geometry,
                r.from_m.max(station_m),
                r.to_m,
            ));
            let bore_m = r.pipe.inner_diameter_m;
            burst_m3_per_s(bore_m, fall).max(smooth_m3_per_s(FullPipe {
                bore_m,
                fall,
                roughness_m: r.pipe.roughness_m,
                viscosity_m2_per_s: cold.kinematic_viscosity_m2_per_s(),
                gravity_m_per_s2: line.environment.situation.gravity_m_per_s2,
            }))
        })
        .fold(0.0, f64::max)
}

/// Cases in which an open vent at a station would draw air in: the grade line stands below the pipe, or the pipe runs part-full there.
pub(super) fn inhales(
    geometry: &Geometry,
    intake: &Inlet,
    runs: &[Run],
    station_m: f64,
) -> Vec<RunState> {
    let stations = &geometry.heights.station_m;
    runs.iter()
        .filter(|r| r.flows())
        .filter(|run| {
            let pressures: Vec<f64> = run.points.iter().map(|p| p.pressure_pa).collect();
            let below = run
                .points
                .iter()
                .rfind(|p| p.station_m <= station_m)
                .is_some_and(|p| p.part_full);
            let sucks = crate::numeric::series::interpolate(stations, &pressures, station_m) < -1.0;
            below || (sucks && counts_where_it_stands(geometry, intake, station_m))
        })
        .map(|r| r.state().clone())
        .collect()
}

/// Whether an open vent at a station would draw air in while some state runs.
pub fn draws_air(geometry: &Geometry, intake: &Inlet, runs: &[Run], station_m: f64) -> bool {
    !inhales(geometry, intake, runs, station_m).is_empty()
}

/// The next low below a station, m: where the pipe has fallen to before it climbs by more than half its bore again.
fn next_low_m(heights: &Heights, bore_m: Option<f64>, station_m: f64) -> f64 {
    let mut low = (station_m, heights.at(station_m));
    for (s, z) in heights.station_m.iter().zip(&heights.mean_m) {
        if *s <= station_m {
            continue;
        }
        if bore_m.is_some_and(|bore| *z > low.1 + 0.5 * bore) {
            break;
        }
        if *z <= low.1 {
            low = (*s, *z);
        }
    }
    low.0
}
