//! The thrusts of a line: at every bend, elbow, end, valve, change of bore and tee.

use super::curves::curved;
use super::ground::{SiteWater, is_restrained};
use super::maker::Maker;
use super::pieces::{Curve, Jointed, run_at};
use super::thrust::{FlowSection, Vector, on_bend_n, on_end_n, on_fitting};
use super::{Loads, Push, Sense, ThrustSource, Towards};
use crate::capacity::Which;
use crate::line::{Fitting, Line, Reach};
use crate::numeric::math;
use crate::numeric::series::interpolate;
use crate::pipe::FittingKind;
use crate::route::Bend;

/// The slope and the heading before a bend are taken over so much pipe, m.
const LOOK_BACK_M: f64 = 5.0;

/// A fitting nearer to a bend of the route than this is that bend, m.
const SAME_M: f64 = 2.0;

/// A part of a thrust counts as a direction from this share of it on.
const COUNTS: f64 = 0.25;

/// All thrusts, in order from the intake.
pub(super) fn pushes(line: &Line, loads: &Loads, runs: &[Jointed]) -> (Vec<Push>, Vec<Curve>) {
    let make = Maker { line, loads, runs };
    let curved = curved(&make);
    let is_curve = |station_m: f64| curved.stations_m.contains(&station_m);
    let elbows: Vec<&Fitting> = line
        .fittings
        .iter()
        .filter(|f| matches!(f.kind, FittingKind::Elbow | FittingKind::Mitre))
        .collect();
    let mut out: Vec<Push> = line
        .geometry
        .bends
        .iter()
        .filter(|b| !is_curve(b.station_m))
        .filter_map(|b| {
            let elbow = elbows
                .iter()
                .find(|e| (e.station_m - b.station_m).abs() <= SAME_M);
            make.bend(b, elbow.map(|e| e.name.clone()))
        })
        .collect();
    for elbow in elbows {
        let is_bend = line
            .geometry
            .bends
            .iter()
            .any(|b| (b.station_m - elbow.station_m).abs() <= SAME_M);
        if !is_bend {
            out.extend(make.elbow(elbow));
        }
    }
    out.extend(line.fittings.iter().flat_map(|f| make.valve(f)));
    out.extend(line.fittings.iter().filter_map(|f| make.tee(f)));
    for (above, below) in line.reaches.iter().zip(line.reaches.iter().skip(1)) {
        out.extend(make.reducer(above, below));
    }
    out.extend(make.end());
    out.extend(curved.pushes);
    out.sort_by(|a, b| a.station_m.total_cmp(&b.station_m));
    (out, curved.curves)
}

impl Maker<'_> {
    fn at(&self, values: &[f64], station_m: f64) -> f64 {
        interpolate(&self.line.geometry.heights.station_m, values, station_m).max(0.0)
    }

    /// Pressure of the test at a station, Pa; 0 where there is none.
    fn test_pa(&self, station_m: f64) -> f64 {
        if self.loads.test_pa.is_empty() {
            0.0
        } else {
            self.at(&self.loads.test_pa, station_m)
        }
    }

    /// The water at a station under the largest pressure of any state or the test.
    pub(super) fn section(&self, reach: &Reach, station_m: f64) -> FlowSection {
        let service = self.in_service(reach, station_m);
        FlowSection {
            pressure_pa: service.pressure_pa.max(self.test_pa(station_m)),
            ..service
        }
    }

    /// The same without the test.
    fn in_service(&self, reach: &Reach, station_m: f64) -> FlowSection {
        FlowSection {
            pressure_pa: self.at(&self.loads.largest_pa, station_m),
            area_m2: reach.pipe.outer_area_m2(),
            bore_m2: reach.pipe.bore_area_m2(),
            flow_m3_per_s: self.loads.flow_m3_per_s,
            density_kg_per_m3: SiteWater::of(&self.line.environment).density_kg_per_m3,
        }
    }

    /// The state that makes the largest pressure at a station: of the two grid stations beside it, the one with more.
    pub(super) fn state_at(&self, station_m: f64) -> Option<Which> {
        if self.test_pa(station_m) > self.at(&self.loads.largest_pa, station_m) {
            return Some(Which::Test);
        }
        self.in_service_at(station_m)
    }

    fn in_service_at(&self, station_m: f64) -> Option<Which> {
        let stations = &self.line.geometry.heights.station_m;
        let above = stations.partition_point(|&s| s < station_m);
        let pressure = |i: usize| self.loads.largest_pa.get(i).copied();
        let at = match above.checked_sub(1) {
            // beyond the last station of the grid there is none
            Some(before) if pressure(above).is_none_or(|p| pressure(before) > Some(p)) => before,
            _ => above,
        };
        self.loads.by.get(at).cloned()
    }

    /// Whether the water parts in a state.
    fn parts(&self, by: Option<&Which>) -> bool {
        by.is_some_and(|by| self.loads.parting.contains(by))
    }

    /// Rise of the pipe just before a station, rad: falling pipe is negative.
    fn rise_rad(&self, station_m: f64) -> f64 {
        let from = (station_m - LOOK_BACK_M).max(0.0);
        let along = station_m - from;
        if along <= 0.0 {
            return 0.0;
        }
        let rise = self.line.geometry.elevation_m(station_m) - self.line.geometry.elevation_m(from);
        math::asin((rise / along).clamp(-1.0, 1.0))
    }

    /// Level direction of the pipe just before a station, east and north.
    fn heading(&self, station_m: f64) -> Option<(f64, f64)> {
        let stations = &self.line.geometry.heights.station_m;
        let above = stations.partition_point(|&s| s < station_m);
        let at = |i: usize| self.line.geometry.plan.get(i).copied().flatten();
        let here = at(above)?;
        let back = (0..above)
            .rev()
            .filter(|&i| {
                stations
                    .get(i)
                    .is_some_and(|s| station_m - s >= 0.5 * LOOK_BACK_M)
            })
            .find_map(at)
            .or_else(|| (0..above).rev().find_map(at))?;
        let (east, north) = (here.east_m - back.east_m, here.north_m - back.north_m);
        let level = math::hypot(east, north);
        (level > 0.0).then(|| (east / level, north / level))
    }

    pub(super) fn push(
        &self,
        at: ThrustSource,
        station_m: f64,
        reach: &Reach,
        force: Vector,
    ) -> Push {
        let section = self.section(reach, station_m);
        let size_n = force.size();
        let by = self.state_at(station_m);
        let run = run_at(self.runs, station_m);
        // the hold of an end of the line takes the pressure on it already
        let at_end = at == ThrustSource::End;
        let run = run.filter(|_| !at_end);
        Push {
            by_parts: self.parts(by.as_ref()),
            by,
            at,
            station_m,
            angle_rad: 0.0,
            angle_sd_rad: 0.0,
            pressure_pa: section.pressure_pa,
            force,
            sense: Sense::Route,
            compass: self.heading(station_m).map(|h| force.to_compass(h)),
            size_n,
            high_n: size_n,
            towards: towards(force, self.rise_rad(station_m)),
            joint: reach.joint,
            restrained: is_restrained(reach) && run.is_none_or(|r| r.stands.is_none()),
            jointed: run.is_some(),
            doubtful: false,
        }
    }

    /// The pipe's direction downhill at a station.
    pub(super) fn along(&self, station_m: f64) -> Vector {
        Vector::direction(0.0, self.rise_rad(station_m))
    }

    /// Force of the water on a bend of the route, N.
    pub(super) fn on_bend(&self, bend: &Bend, section: FlowSection) -> Vector {
        let rise = self.rise_rad(bend.station_m - 0.5 * bend.over_m);
        let t1 = Vector::direction(0.0, rise);
        let t2 = Vector::direction(bend.plan_rad, rise + bend.profile_rad);
        on_fitting((section, t1), (section, t2))
    }

    fn bend(&self, bend: &Bend, elbow: Option<String>) -> Option<Push> {
        let reach = self.line.reaches.at(bend.station_m)?;
        let section = self.section(reach, bend.station_m);
        let force = self.on_bend(bend, section);
        let at = elbow.map_or(ThrustSource::Bend, ThrustSource::Elbow);
        Some(Push {
            angle_rad: bend.angle_rad,
            angle_sd_rad: bend.sd_rad,
            high_n: force
                .size()
                .max(on_bend_n(section, bend.angle_rad + 2.0 * bend.sd_rad)),
            doubtful: bend.angle_rad < 2.0 * bend.sd_rad,
            ..self.push(at, bend.station_m, reach, force)
        })
    }

    /// An elbow that the route does not show: its size is known, its sense is not.
    fn elbow(&self, fitting: &Fitting) -> Option<Push> {
        let reach = self.line.reaches.at(fitting.station_m)?;
        let angle = fitting.angle_rad?;
        let section = self.section(reach, fitting.station_m);
        let rise = self.rise_rad(fitting.station_m);
        let t2 = if fitting.in_plan == Some(false) {
            Vector::direction(0.0, rise - angle)
        } else {
            Vector::direction(angle, rise)
        };
        let force = on_fitting((section, Vector::direction(0.0, rise)), (section, t2));
        let at = ThrustSource::Elbow(fitting.name.clone());
        Some(Push {
            angle_rad: angle,
            size_n: on_bend_n(section, angle),
            high_n: on_bend_n(section, angle),
            towards: Vec::new(),
            compass: None,
            sense: if fitting.in_plan == Some(false) {
                Sense::OutwardInProfile
            } else {
                Sense::Outward
            },
            ..self.push(at, fitting.station_m, reach, force)
        })
    }

    /// A valve that is shut: with the pipe above it full it is pushed downhill; the uppermost one is pushed uphill by the test, which is made against it.
    fn valve(&self, fitting: &Fitting) -> Vec<Push> {
        let Some(reach) = self.line.reaches.at(fitting.station_m) else {
            return Vec::new();
        };
        let station_m = fitting.station_m;
        if !fitting.kind.is_valve() || station_m >= self.line.geometry.length_m() - SAME_M {
            return Vec::new();
        }
        let along = Vector::direction(0.0, self.rise_rad(station_m));
        let name = || ThrustSource::Valve(fitting.name.clone());
        let service = self.in_service(reach, station_m);
        let by = self.in_service_at(station_m);
        let mut out = vec![Push {
            pressure_pa: service.pressure_pa,
            by_parts: self.parts(by.as_ref()),
            by,
            ..self.push(name(), station_m, reach, along * on_end_n(service))
        }];
        let tested = FlowSection {
            pressure_pa: self.test_pa(station_m),
            ..service
        };
        let uppermost = self
            .line
            .fittings
            .iter()
            .filter(|f| f.kind.is_valve())
            .all(|f| f.station_m >= station_m);
        if uppermost && tested.pressure_pa > 0.0 {
            out.push(Push {
                pressure_pa: tested.pressure_pa,
                by: Some(Which::Test),
                by_parts: false,
                ..self.push(name(), station_m, reach, along * -on_end_n(tested))
            });
        }
        out
    }

    /// The branch of a tee.
    fn tee(&self, fitting: &Fitting) -> Option<Push> {
        let reach = self.line.reaches.at(fitting.station_m)?;
        let section = self.section(reach, fitting.station_m);
        if !matches!(fitting.kind, FittingKind::TeeBranch | FittingKind::TeeRun) {
            return None;
        }
        // nothing stands against the pressure on the wall over the branch's mouth: the tee is pushed away from the branch, on the side that the user knows
        let branch = FlowSection {
            area_m2: fitting
                .bore_m
                .map_or(section.area_m2, |b| std::f64::consts::FRAC_PI_4 * b * b),
            ..section
        };
        let force = Vector::direction(std::f64::consts::FRAC_PI_2, 0.0) * on_end_n(branch);
        Some(Push {
            towards: Vec::new(),
            compass: None,
            sense: Sense::AwayFromBranch,
            ..self.push(
                ThrustSource::Tee(fitting.name.clone()),
                fitting.station_m,
                reach,
                force,
            )
        })
    }

    fn reducer(&self, above: &Reach, below: &Reach) -> Option<Push> {
        let station_m = above.to_m;
        let (a, b) = (
            self.section(above, station_m),
            self.section(below, station_m),
        );
        if (a.area_m2 - b.area_m2).abs() < 1e-9 {
            return None;
        }
        let t = Vector::direction(0.0, self.rise_rad(station_m));
        let leaves = a.in_bore(b.area_m2, b.bore_m2);
        let force = on_fitting((a, t), (leaves, t));
        Some(Push {
            restrained: is_restrained(above) && is_restrained(below),
            ..self.push(ThrustSource::Reducer, station_m, above, force)
        })
    }

    fn end(&self) -> Option<Push> {
        let reach = self.line.reaches.last()?;
        let station_m = self.line.geometry.length_m();
        let section = self.section(reach, station_m);
        let force = Vector::direction(0.0, self.rise_rad(station_m)) * on_end_n(section);
        Some(self.push(ThrustSource::End, station_m, reach, force))
    }
}

/// The directions that a force takes, largest part first.
fn towards(force: Vector, rise_rad: f64) -> Vec<Towards> {
    // on a slope the way along the pipe is not level: only what is left across it counts as up or down
    let along = force.dot(Vector::direction(0.0, rise_rad));
    let across = force - Vector::direction(0.0, rise_rad) * along;
    let parts = [
        (along, Towards::Downhill, Towards::Uphill),
        (force.y, Towards::Left, Towards::Right),
        (across.z, Towards::Up, Towards::Down),
    ];
    let least = COUNTS * force.size();
    let mut out: Vec<(f64, Towards)> = parts
        .into_iter()
        .filter(|p| p.0.abs() > least)
        .map(|(f, plus, minus)| {
            // to a thousandth, so that equal parts stand in one order whatever the rounding
            let share = (1_000.0 * f.abs() / force.size()).round();
            (share, if f > 0.0 { plus } else { minus })
        })
        .collect();
    out.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    out.into_iter().map(|p| p.1).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bend_to_the_left_pushes_right() {
        let (t1, t2) = (
            Vector::direction(0.0, 0.0),
            Vector::direction(std::f64::consts::FRAC_PI_2, 0.0),
        );
        assert_eq!(
            towards((t1 - t2) * 100.0, 0.0),
            [Towards::Downhill, Towards::Right]
        );
    }

    #[test]
    fn an_overbend_pushes_up_and_an_underbend_down() {
        let over = Vector::direction(0.0, 0.0) - Vector::direction(0.0, -0.4);
        let under = Vector::direction(0.0, -0.4) - Vector::direction(0.0, 0.0);
        assert_eq!(towards(over, 0.0)[0], Towards::Up);
        assert_eq!(towards(under, -0.4)[0], Towards::Down);
    }
}
